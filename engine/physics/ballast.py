"""A ballast as a constant-power load with a floor voltage, fed through a real cable.

It takes the same watts whatever the voltage, so as its volts fall it draws more current, which loses more volts.
With supply E behind R and power P: R I^2 - E I + P = 0. Two roots (one stable), one, or none: collapse.
"""

import math
from dataclasses import dataclass

from engine.physics._check import within


@dataclass(frozen=True)
class Ballast:
    """Input watts of a ballast in each phase, and the volts under which it gives up."""

    lamp_watts: float
    strike_watts: float
    runup_watts: float
    steady_watts: float
    floor_volts: float = 9.0

    def phases(self) -> tuple[tuple[str, float], ...]:
        """(name, input watts) of strike, run-up and steady burning."""
        return (("strike", self.strike_watts), ("run-up", self.runup_watts), ("steady burning", self.steady_watts))


# 35 W: input 8 to 9 A at the start and 3 to 5 A settled (trade pages, read), 10 W own loss (workshop manual, read),
# lamp power 70 to 80 W during run-up and full function from 9 V (from memory).
# 25 W: at most 31 W input (from memory); strike and run-up scaled by lamp power (no source).
BALLASTS = {
    35: Ballast(lamp_watts=35, strike_watts=110, runup_watts=90, steady_watts=45),
    25: Ballast(lamp_watts=25, strike_watts=78, runup_watts=64, steady_watts=31),
}


def nearest_kind(lamp_watts: float) -> Ballast:
    """The ballast for a source of about `lamp_watts` (15 to 60 W)."""
    within("The power of the source", lamp_watts, 15, 60, "W")
    return BALLASTS[min(BALLASTS, key=lambda known: abs(known - lamp_watts))]


@dataclass(frozen=True)
class Operation:
    """Where a constant-power load settles: volts and current at its terminals, and the volts of the unstable root.

    `holds` is False on collapse; then `why` says which limit failed, and the numbers are those just at the limit.
    """

    holds: bool
    volts: float
    current: float
    other_volts: float
    why: str


def roots(supply: float, resistance: float, watts: float) -> tuple[float, float] | None:
    """Both currents in A (smaller first) at which `watts` reach the load, or None if none exists.

    supply 1 to 32 V, resistance 0 to 20 ohm, watts 1 to 300. With no resistance the second root is infinite.
    """
    within("The supply", supply, 1, 32, "V")
    within("The resistance of the feed", resistance, 0, 20, "ohm")
    within("The power", watts, 1, 300, "W")
    if resistance == 0:
        return watts / supply, math.inf
    under = supply**2 - 4 * resistance * watts
    if under < 0:
        return None
    larger = (supply + math.sqrt(under)) / (2 * resistance)
    return watts / (resistance * larger), larger  # by their product P/R: no loss of digits at small R


def operate(supply: float, resistance: float, watts: float, floor: float = 9.0) -> Operation:
    """Where the load settles; ranges as in `roots`, `floor` (0 to 20 V) being the load's lowest working input."""
    within("The floor voltage", floor, 0, 20, "V")
    pair = roots(supply, resistance, watts)
    if pair is None:
        top = supply**2 / (4 * resistance)
        why = f"the feed can deliver {top:.0f} W at most, and {watts:.0f} W are asked"
        return Operation(False, supply / 2, supply / (2 * resistance), supply / 2, why)
    small, large = pair
    volts = supply - resistance * small
    other = 0.0 if math.isinf(large) else supply - resistance * large
    if volts < floor:
        why = f"only {volts:.1f} V reach it, under its floor of {floor:g} V"
        return Operation(False, volts, small, other, why)
    return Operation(True, volts, small, other, "")


def largest_resistance(supply: float, watts: float, floor: float = 9.0) -> float:
    """The most ohm of feed and earth together with which `watts` still reach the load at or above `floor` volts."""
    within("The supply", supply, 1, 32, "V")
    within("The power", watts, 1, 300, "W")
    if floor >= supply:
        return 0.0
    at = max(floor, supply / 2)
    return (supply - at) * at / watts


def strike_outlook(ballast: Ballast, supply: float, resistance: float) -> tuple[tuple[str, Operation], ...]:
    """Each phase of `ballast` with where it settles behind `resistance` (ohm) on `supply` (V)."""
    return tuple((name, operate(supply, resistance, watts, ballast.floor_volts)) for name, watts in ballast.phases())
