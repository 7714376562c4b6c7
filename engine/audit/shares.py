"""The `usual` shares of a question must leave room for every outcome.

They say how often each outcome is seen when the fault lies elsewhere, and together they are 1. Outcomes without a
share divide what is left. When nothing is left, an outcome without a share could never be seen.

Likely mend: lower a share, or leave out the share of the commonest outcome so that it takes the rest.

Fails:

    questions:
      fuse-look:
        kind: test
        title: look at the fuse
        ask: How does it look?
        outcomes: {whole: {say: Whole., usual: 0.9}, open: {say: Melted., usual: 0.3}}

Passes:

    questions:
      fuse-look:
        kind: test
        title: look at the fuse
        ask: How does it look?
        slip: 0.02
        outcomes: {whole: {say: Whole.}, open: {say: Melted., usual: 0.01}}
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import ERROR, WARNING, Survey
from engine.problems import Problem

CODE = "shares"
RAW = True
ROUNDING = 0.005  # shares written to two places may miss 1 by this much


def check(survey: Survey) -> Iterator[Problem]:
    """Questions whose shares do not come to one."""
    for name, question in survey.base.questions.items():
        given = [outcome.usual for outcome in question.outcomes.values() if outcome.usual is not None]
        total, full = sum(given), len(given) == len(question.outcomes)
        place = survey.key("questions", name, "outcomes")
        if total > 1 + ROUNDING or (not full and total > 1 - 1e-9):
            message = f"{name}: the `usual` shares come to {total:g}; together they must leave room for every outcome"
            yield Problem(place, ERROR, CODE, message)
        elif full and total < 1 - ROUNDING:
            message = f"{name}: the `usual` shares come to {total:g}, not 1; leave one out so that it takes the rest"
            yield Problem(place, WARNING, CODE, message)
