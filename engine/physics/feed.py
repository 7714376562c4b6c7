"""Resistance of the feed and the earth, and where along the chain it sits, from readings under load."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from engine.physics._check import within

METER_STEP = 0.02  # V: two meters, or two readings, seldom agree better (common practice, no source)
JOINT_LIMIT = 0.1  # V over one joint, contact or fuse under load (common practice, no source)
FEED_LIMIT = 0.3  # V from battery to lamp, lamp lit (common practice, no source)
EARTH_LIMIT = 0.1  # V from lamp back to battery, lamp lit (published workshop practice, read)


@dataclass(frozen=True)
class Point:
    """A place on the chain, and its volts to battery negative while the lamp is lit."""

    name: str
    volts: float


@dataclass(frozen=True)
class Segment:
    """What lies between two neighbouring points: volts lost, ohm, its share of all that is lost."""

    start: str
    end: str
    drop: float
    resistance: float
    share: float


@dataclass(frozen=True)
class Split:
    """A loss parted into feed side and earth side: volts and ohm of each."""

    feed_drop: float
    earth_drop: float
    feed_resistance: float
    earth_resistance: float


def _flowing(current: float) -> float:
    if current < 0.05:
        raise ValueError("No current, no drop: make the circuit draw current (lamp lit, or a test load), then read")
    return within("The current", current, 0.05, 200, "A")


def series_resistance(open_volts: float, loaded_volts: float, current: float) -> float:
    """Ohm in the way: (open - loaded) / current, volts 0 to 32, current (A) that flows while loaded.

    Loaded above open by no more than a meter's step counts as nothing; by more, ValueError.
    """
    within("The open voltage", open_volts, 0, 32, "V")
    within("The loaded voltage", loaded_volts, 0, 32, "V")
    lost = open_volts - loaded_volts
    if lost < -METER_STEP:
        raise ValueError(
            f"The loaded voltage ({loaded_volts:g} V) is above the open one ({open_volts:g} V): "
            "read both again with the engine in the same state"
        )
    return max(lost, 0.0) / _flowing(current)


def split(supply: float, loaded_volts: float, earth_drop: float, current: float) -> Split:
    """Part the loss between `supply` and the load's own volts into earth side (read) and feed side (the rest)."""
    within("The drop on the earth side", earth_drop, 0, 32, "V")
    whole = series_resistance(supply, loaded_volts, current) * current
    if earth_drop > whole + METER_STEP:
        raise ValueError(
            f"The earth side ({earth_drop:g} V) cannot lose more than feed and earth together ({whole:.2f} V): "
            "read them again"
        )
    feed_drop = max(whole - earth_drop, 0.0)
    return Split(feed_drop, earth_drop, feed_drop / current, earth_drop / current)


def segments(points: Sequence[Point], current: float) -> tuple[Segment, ...]:
    """Drops between neighbours, in order of the current: battery first, one side (feed or earth) of the lamp at a time.

    Each reading must be at or below the one before it, a meter's step allowed, else ValueError naming the two.
    """
    if len(points) < 2:
        raise ValueError("At least two points are needed to find where the drop sits")
    _flowing(current)
    drops = []
    for before, after in pairwise(points):
        lost = before.volts - after.volts
        if lost < -METER_STEP:
            raise ValueError(
                f"{after.name} ({after.volts:g} V) reads above {before.name} ({before.volts:g} V), "
                "which comes before it: check the order, and read both again under the same load"
            )
        drops.append(max(lost, 0.0))
    whole = sum(drops)
    return tuple(
        Segment(a.name, b.name, lost, lost / current, lost / whole if whole else 0.0)
        for (a, b), lost in zip(pairwise(points), drops, strict=True)
    )


def too_much(drop: float, limit: float) -> bool:
    """True if `drop` is above `limit` (V) by more than a meter's last digit."""
    return drop > limit + 0.005


def worst(found: Sequence[Segment], limit: float = JOINT_LIMIT) -> Segment | None:
    """The segment that loses most, or None if none loses more than `limit` (V)."""
    most = max(found, key=lambda segment: segment.drop)
    return most if too_much(most.drop, limit) else None


def spread_evenly(found: Sequence[Segment]) -> bool:
    """True if no segment holds half of the loss: thin or long cable then, rather than one joint."""
    return len(found) > 2 and max(segment.share for segment in found) < 0.5
