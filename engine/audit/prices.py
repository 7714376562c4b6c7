"""A price band must run from the lower to the higher price.

Bands are `[lowest, highest]`. The program takes the middle for its sums, so a band the wrong way round is a sign that
one of the two figures is mistyped.

Likely mend: put the lower price first, or mend the figure.

Fails:

    repairs:
      fit-fuse:
        name: fit a fuse
        minutes: 3
        part: {ask_for: a fuse, new: [20, 2]}
        steps: [Fit it.]
        proof: [Light it.]

Passes:

    repairs:
      fit-fuse:
        name: fit a fuse
        minutes: 3
        part: {ask_for: a fuse, new: [1, 2]}
        steps: [Fit it.]
        proof: [Light it.]
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import ERROR, Survey
from engine.problems import Problem

CODE = "prices"
RAW = True
_BANDS = ("new", "used", "aftermarket")


def check(survey: Survey) -> Iterator[Problem]:
    """Price bands the wrong way round."""
    for name, repair in survey.base.repairs.items():
        for key in _BANDS if repair.part else ():
            band = getattr(repair.part, key)
            if band is not None and band[0] > band[1]:
                message = f"{name}: this band runs from {band[0]:g} down to {band[1]:g}; the lower price comes first"
                yield Problem(survey.key("repairs", name, "part", key), ERROR, CODE, message)
