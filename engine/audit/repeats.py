"""Two rules with the same conditions read as one, and a rule inside another adds nothing.

When a rule fires only where another fires too and does no more than that one does, it is either a repeat or, where it
raises or lowers, the same evidence counted twice. Rules with equal conditions and different effects work, but whoever
reads one will not think of the other.

Likely mend: take the narrower rule out, or merge the two.

Fails:

    rules:
      melted-fuse:
        when: {fuse-look: open, complaint: dead}
        proves: fuse-open
        because: It can be seen.
        source: common-practice

Passes:

    rules:
      melted-fuse:
        when: {fuse-look: open, complaint: dead}
        advises: water-in-plug
        because: A short is often wet.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.likeness import deeds, pairs
from engine.audit.survey import ADVICE, WARNING, Survey
from engine.problems import Problem

CODE = "repeats"
RAW = False


def check(survey: Survey) -> Iterator[Problem]:
    """Rules that repeat another, or share its conditions."""
    done, told = deeds(survey), set[str]()
    for narrow, wide, equal in pairs(survey):
        place, other = survey.key("rules", narrow, "when"), survey.base.place("rules", wide)
        if done[narrow] and done[narrow] <= done[wide]:
            message = f'"{narrow}" does nothing that "{wide}" ({other}) does not do whenever it fires; take it out'
            yield Problem(place, WARNING, CODE, message)
        elif equal and narrow not in told:
            told.add(narrow)
            message = f'"{narrow}" has the same conditions as "{wide}" ({other}); make one rule of them'
            yield Problem(place, ADVICE, CODE, message)
