"""A word in braces must be one that some circumstance fills in.

`{this}` and the like stand for words that the answers give: each outcome of a question may list them under `labels:`.
Any other word in braces would be shown to the person as it stands.

Likely mend: use one of the labels in the message, or take the braces away.

Fails:

    questions:
      fuse-look:
        kind: test
        title: look at the fuse
        ask: How does the fuse of the {colour} lamp look?
        slip: 0.02
        outcomes: {whole: {say: Whole.}, open: {say: Melted., usual: 0.01}}

Passes:

    questions:
      fuse-look:
        kind: test
        title: look at the fuse
        ask: How does the fuse of the lamp look?
        slip: 0.02
        outcomes: {whole: {say: Whole.}, open: {say: Melted., usual: 0.01}}
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from engine.audit.survey import ERROR, Survey
from engine.audit.texts import texts
from engine.problems import Problem, nearest

CODE = "placeholders"
RAW = True
_BRACED = re.compile(r"\{([^{}]*)\}")


def check(survey: Survey) -> Iterator[Problem]:
    """Words in braces that nothing fills in."""
    outcomes = [one for question in survey.base.questions.values() for one in question.outcomes.values()]
    known = {label for outcome in outcomes for label in outcome.labels}
    for text in texts(survey):
        for word in _BRACED.findall(text.words):
            if word not in known:
                hint = nearest(word, known) or "; no outcome has `labels:`, so take the braces away"
                yield Problem(text.place(survey), ERROR, CODE, f"nothing fills in {{{word}}}{hint}")
