"""How fast a discharge source comes up to its light, cold and hot, against the regulation's limits."""

import math
from dataclasses import dataclass

from engine.physics._check import within

FIRST_LIGHT = 0.25  # share at the strike, from the xenon alone (common practice, no source)
FULL = 0.98  # where an eye no longer sees it grow (common practice, no source)
RESTRIKE_OFF = 10.0  # s off after 15 min burning: must strike at once (UN R99 3.6.3, from memory)
RESTRIKE_SHARE = 0.80  # of the light, 1 s after a hot restrike (UN R99 3.6.3, from memory)


@dataclass(frozen=True)
class Limit:
    """At `after` seconds from the strike, at least `share` of the objective light."""

    after: float
    share: float


@dataclass(frozen=True)
class Judged:
    """A limit beside the share of light reached at its time."""

    limit: Limit
    share: float
    met: bool


def limits(objective_flux: float) -> tuple[Limit, ...]:
    """Run-up limits for a source of `objective_flux` (500 to 6000 lm), UN R99 3.6.2 (from memory).

    Over 2000 lm: 25 % after 1 s and 80 % after 4 s. Up to 2000 lm: 800 lm and 1000 lm at those times.
    """
    within("The objective flux", objective_flux, 500, 6000, "lm")
    if objective_flux > 2000:
        return Limit(1.0, 0.25), Limit(4.0, 0.80)
    return Limit(1.0, min(800 / objective_flux, 1.0)), Limit(4.0, min(1000 / objective_flux, 1.0))


def share_at(seconds: float, full_after: float) -> float:
    """Estimated share of light `seconds` after the strike, if the source looks full after `full_after` (s, 0.1 to 600).

    A stated simple model: from FIRST_LIGHT, the rest rises exponentially so that FULL is reached at `full_after`.
    """
    within("The time since the strike", seconds, 0, 3600, "s")
    within("The time to full light", full_after, 0.1, 600, "s")
    constant = full_after / math.log((1 - FIRST_LIGHT) / (1 - FULL))
    return 1 - (1 - FIRST_LIGHT) * math.exp(-seconds / constant)


def judge(full_after: float, objective_flux: float = 3200.0) -> tuple[Judged, ...]:
    """Each limit of the regulation beside the modelled share of a source that looks full after `full_after` (s)."""
    found = []
    for limit in limits(objective_flux):
        share = share_at(limit.after, full_after)
        found.append(Judged(limit, share, share >= limit.share))
    return tuple(found)


def slowest_full(limit: Limit) -> float:
    """The longest time to full light (s) with which the model still meets `limit`; infinite if first light suffices."""
    if limit.share <= FIRST_LIGHT:
        return math.inf
    if limit.share >= 1:
        return 0.0
    return limit.after * math.log((1 - FIRST_LIGHT) / (1 - FULL)) / math.log((1 - FIRST_LIGHT) / (1 - limit.share))


def restrike_met(off_seconds: float, relit_after: float, share_after_second: float = 1.0) -> bool:
    """True if a hot source, off for `off_seconds` (0 to 10 s), relit within 1 s to at least 80 % of its light.

    The regulation speaks of 10 s off after 15 min burning; longer off is no test of it: ValueError.
    """
    within("The time switched off for a hot restrike", off_seconds, 0, RESTRIKE_OFF, "s")
    within("The time until it relit", relit_after, 0, 600, "s")
    return relit_after <= 1.0 and share_after_second >= RESTRIKE_SHARE
