"""Beam aim on a wall: cut-off height and inclination, the legal band, how far off and which way.

Slopes are plain ratios, negative downwards: -0.012 means 1.2 % down, 12 cm in 10 m.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from engine.physics._check import within

_STEEP = 0.15  # a headlamp adjuster gives about 4 degrees, 7 %


@dataclass(frozen=True)
class Step:
    """Rule for mounting heights up to `up_to` (m): initial setting and limits, as (lowest, highest) slopes."""

    up_to: float
    initial: tuple[float, float]
    limits: tuple[float, float]


@dataclass(frozen=True)
class Offset:
    """How a beam stands: `inside` the limits, `way` (up, down, on), how far from `target` in slope and metres."""

    inclination: float
    target: float
    inside: bool
    way: str
    slope: float
    height: float


def _distance(distance: float) -> float:
    return within("The distance to the wall", distance, 1, 50, "m")


def _mounting(height: float) -> float:
    return within("The lamp's height", height, 0.2, 3, "m")


def drop(inclination: float, distance: float) -> float:
    """Fall of the beam in m over `distance` (1 to 50 m) at `inclination` (slope, -0.15 to 0.15); positive is down."""
    return -within("The inclination", inclination, -_STEEP, _STEEP) * _distance(distance)


def cutoff_height(mounting: float, distance: float, inclination: float) -> float:
    """Height of the cut-off on the wall in m, for a lamp at `mounting` (0.2 to 3 m)."""
    return _mounting(mounting) - drop(inclination, distance)


def inclination(mounting: float, distance: float, cutoff: float) -> float:
    """Slope of the beam (negative down) from the height of its cut-off on the wall (m, 0 to 5)."""
    within("The height of the cut-off", cutoff, 0, 5, "m")
    return (cutoff - _mounting(mounting)) / _distance(distance)


def slope_from_degrees(degrees: float) -> float:
    """Slope of an angle in degrees (-10 to 10)."""
    return math.tan(math.radians(within("The angle", degrees, -10, 10, "degrees")))


def degrees_from_slope(slope: float) -> float:
    """Angle in degrees of a slope."""
    return math.degrees(math.atan(slope))


def step_for(steps: Sequence[Step], height: float) -> Step:
    """The step of a rule that holds for a lamp at `height` (m); ValueError if the rule does not reach so high."""
    _mounting(height)
    for step in sorted(steps, key=lambda step: step.up_to):
        if height <= step.up_to:
            return step
    raise ValueError(f"This rule says nothing about a lamp {height:g} m above the ground")


def middle(band: tuple[float, float]) -> float:
    """The slope half-way through a band."""
    return (band[0] + band[1]) / 2


def judge(found: float, target: float, limits: tuple[float, float], distance: float) -> Offset:
    """Set `found` (slope) against a `target` slope and the (lowest, highest) `limits`, on a wall at `distance` (m)."""
    off = within("The inclination", found, -_STEEP, _STEEP) - target
    way = "on" if abs(off) < 0.0005 else ("up" if off > 0 else "down")
    inside = limits[0] - 1e-9 <= found <= limits[1] + 1e-9
    return Offset(found, target, inside, way, off, off * _distance(distance))


def reach(mounting: float, slope: float) -> float:
    """Metres to where the cut-off meets a flat road, for a `slope` below level; ValueError if it never does."""
    if slope >= 0:
        raise ValueError("A beam that is level or points up never meets the road")
    return _mounting(mounting) / -slope
