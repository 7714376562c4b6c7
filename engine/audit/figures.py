"""The settings that the program counts with must be in order.

Strengths are likelihood ratios above 1 and rise from `weak` through `moderate` and `strong` to `proof`; shares and
slips lie between 0 and 1. With others, no odds can be reckoned.

Likely mend: mend the figure; the shipped base shows the usual size.

Fails:

    settings:
      weak: {value: 9, says: Weak evidence.}

Passes:

    settings:
      weak: {value: 2, says: Weak evidence.}
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from engine.audit.survey import ERROR, Survey
from engine.problems import Problem

CODE = "figures"
RAW = True
RISING = ("weak", "moderate", "strong", "proof")
SHARES = (
    "unknown-share", "slip-circumstance", "slip-symptom", "slip-test", "slip-reading", "slip-doubtful", "proved-share",
    "likely-share", "unknown-verdict", "recheck-share", "recheck-lost",
)  # fmt: skip


def check(survey: Survey) -> Iterator[Problem]:
    """Settings out of range or out of order."""
    settings = survey.base.settings
    for name in SHARES:
        if name in settings and not 0 < settings[name].value < 1:
            message = f"{name} is a share between 0 and 1, not {settings[name].value:g}"
            yield Problem(survey.at("settings", name, "value"), ERROR, CODE, message)
    known = [name for name in RISING if name in settings]
    if known and settings[known[0]].value <= 1:
        message = f"{known[0]} is a ratio above 1, not {settings[known[0]].value:g}"
        yield Problem(survey.at("settings", known[0], "value"), ERROR, CODE, message)
    for lower, higher in itertools.pairwise(known):
        if settings[lower].value >= settings[higher].value:
            message = f"{lower} ({settings[lower].value:g}) must be less than {higher} ({settings[higher].value:g})"
            yield Problem(survey.at("settings", lower, "value"), ERROR, CODE, message)
