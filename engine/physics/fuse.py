"""Blade fuses: does a fuse carry a load, how soon does it open on a fault, what its own drop tells."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from engine.physics._check import within

STEADY_SHARE = 0.75  # of the rating as a lasting load, for warm engine bays (common practice, no source)
HELD_SHARE = 1.10  # of the rating that is held for 100 h (makers' sheets, read)


@dataclass(frozen=True)
class Gate:
    """At `multiple` of its rating a fuse opens no sooner than `shortest` and no later than `longest` seconds."""

    multiple: float
    shortest: float
    longest: float = math.inf


@dataclass(frozen=True)
class Band:
    """Soonest and latest opening, in seconds; `longest` may be infinite (need not open at all)."""

    shortest: float
    longest: float


def check_gates(gates: Sequence[Gate]) -> None:
    """ValueError unless gates rise in current while neither of their times rises."""
    if not gates:
        raise ValueError("A fuse needs at least one gate (current multiple with opening times)")
    for gate in gates:
        if not (gate.multiple > 0 and 0 < gate.shortest <= gate.longest):
            raise ValueError(f"The gate at {gate.multiple:g} times the rating has times that cannot be")
    for a, b in pairwise(gates):
        if not (a.multiple < b.multiple and a.shortest >= b.shortest and a.longest >= b.longest):
            raise ValueError(
                f"The gate at {b.multiple:g} times the rating must come after that at {a.multiple:g} and open no later"
            )


def _log_log(x: float, x0: float, y0: float, x1: float, y1: float) -> float:
    if math.isinf(y0):
        return y0
    position = math.log(x / x0) / math.log(x1 / x0)
    return math.exp(math.log(y0) + position * (math.log(y1) - math.log(y0)))


def opening_time(rating: float, current: float, gates: Sequence[Gate]) -> Band:
    """Band of opening time in s of a fuse of `rating` (A, 0.5 to 120) at `current` (A, above 0 to 5000).

    Straight lines between the gates on log-log paper. Under the first gate: no sooner than it, perhaps never.
    Over the last: the soonest falls as 1/I^2 (constant melting energy), the latest stays at the last gate's.
    """
    within("The fuse's rating", rating, 0.5, 120, "A")
    within("The current", current, 0, 5000, "A")
    check_gates(gates)
    multiple = current / rating
    first, last = gates[0], gates[-1]
    if multiple < first.multiple:
        return Band(first.shortest, math.inf)
    if multiple >= last.multiple:
        return Band(last.shortest * (last.multiple / multiple) ** 2, last.longest)
    for a, b in pairwise(gates):
        if multiple < b.multiple:
            return Band(
                _log_log(multiple, a.multiple, a.shortest, b.multiple, b.shortest),
                _log_log(multiple, a.multiple, a.longest, b.multiple, b.longest),
            )
    raise AssertionError("gates are sorted, so one interval holds")


def load_share(rating: float, current: float) -> float:
    """Load as a share of the rating (A and A)."""
    return within("The current", current, 0, 5000, "A") / within("The fuse's rating", rating, 0.5, 120, "A")


def carries(rating: float, current: float) -> str:
    """`yes` up to 75 % of the rating, `barely` up to 110 % (ages in heat), else `no`."""
    share = load_share(rating, current)
    if share <= STEADY_SHARE:
        return "yes"
    return "barely" if share <= HELD_SHARE else "no"


def current_from_drop(drop: float, cold_resistance: float) -> float:
    """Current in A through a fuse, from the volts over it (0 to 1 V) and its cold ohm (0.0005 to 0.5).

    Reads up to a third high on a well-loaded fuse, whose metal is hot.
    """
    within("The drop over a sound fuse", drop, 0, 1, "V")
    return drop / within("The fuse's cold resistance", cold_resistance, 0.0005, 0.5, "ohm")
