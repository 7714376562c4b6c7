"""A sentence must be short enough for somebody who holds a torch in one hand and a meter in the other.

A sentence of more than 30 words has to be read twice; a question of more than 60 words is a page. The limits are
judgement, no source.

Likely mend: make two sentences of it, or move the how into `do:` and the pitfall into `trap:`.

Fails:

    rules:
      open-fuse:
        when: {fuse-look: open}
        proves: fuse-open
        because: >-
          When you look through the clear top of the fuse and see that the little bridge of metal inside it has a gap in
          the middle then no current at all can have passed through it since the moment at which it melted.
        source: common-practice

Passes:

    rules:
      open-fuse:
        when: {fuse-look: open}
        proves: fuse-open
        because: The bridge inside the fuse has a gap. No current can pass.
        source: common-practice
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from engine.audit.survey import ADVICE, Survey
from engine.audit.texts import texts
from engine.problems import Problem

CODE = "sentences"
RAW = True
LONGEST_SENTENCE = 30
LONGEST_QUESTION = 60
_END = re.compile(r"(?<=[.!?:;])\s+")


def check(survey: Survey) -> Iterator[Problem]:
    """Sentences and questions that are too long."""
    for text in texts(survey):
        longest = max(_END.split(text.words), key=lambda sentence: len(sentence.split()))
        count = len(longest.split())
        if count > LONGEST_SENTENCE:
            start = " ".join(longest.split()[:4])
            message = f'a sentence of {count} words ("{start} ..."); make two of it'
            yield Problem(text.place(survey), ADVICE, CODE, message)
        elif text.path[-1:] == ("ask",) and len(text.words.split()) > LONGEST_QUESTION:
            message = f"a question of {len(text.words.split())} words; move the how into `do:`"
            yield Problem(text.place(survey), ADVICE, CODE, message)
