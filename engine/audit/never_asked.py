"""A question that can never come up is dead weight.

What it needs must be able to hold: its `suits`, the facts in `after`, and the answers that say that its tools are at
hand, all at once, for at least one technology.

Likely mend: mend the outcome or conclusion that `suits` or `after` wait for.

Fails:

    questions:
      hum:
        kind: test
        title: hum of the ballast
        ask: Does it hum?
        slip: 0.02
        suits: {light-source: halogen}
        after: {tube-look: [white, pink]}
        outcomes: {hums: {say: It hums.}, silent: {say: Silent., usual: 0.01}}

Passes:

    questions:
      hum:
        kind: test
        title: hum of the ballast
        ask: Does it hum?
        slip: 0.02
        suits: {light-source: discharge}
        after: {tube-look: [white, pink]}
        outcomes: {hums: {say: It hums.}, silent: {say: Silent., usual: 0.01}}
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import ERROR, Survey, conditions_text
from engine.problems import Problem

CODE = "never-asked"
RAW = False


def check(survey: Survey) -> Iterator[Problem]:
    """Questions that cannot come up in any technology."""
    for name, question in survey.base.questions.items():
        if not any(name in asked for asked in survey.askable.values()):
            wanted = conditions_text({**question.suits, **question.after})
            message = f'"{name}" can never be asked: what it waits for cannot hold ({wanted})'
            key = "after" if question.after else "suits"
            yield Problem(survey.key("questions", name, key), ERROR, CODE, message)
