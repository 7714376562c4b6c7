"""A pulsed (pulse-width-modulated) supply: what does the work, and what an averaging meter shows."""

import math

from engine.physics._check import within


def _duty(duty: float) -> float:
    return within("The share of time switched on", duty, 0.0, 1.0)


def averaged(volts: float, duty: float) -> float:
    """Volts shown by a plain d.c. meter: `volts` (on-level, 0 to 32 V) times `duty` (0 to 1)."""
    return within("The on-level voltage", volts, 0, 32, "V") * _duty(duty)


def effective(volts: float, duty: float) -> float:
    """Volts that heat a filament alike: on-level times the square root of `duty` (r.m.s. of a rectangular wave)."""
    return within("The on-level voltage", volts, 0, 32, "V") * math.sqrt(_duty(duty))


def duty_for(effective_volts: float, volts: float) -> float:
    """Share of time on (0 to 1) that gives `effective_volts` from an on-level of `volts` (both V)."""
    within("The on-level voltage", volts, 1, 32, "V")
    return within("The effective voltage", effective_volts, 0, volts, "V") ** 2 / volts**2


def effective_from_average(shown: float, volts: float) -> float:
    """Effective volts behind an averaging meter's `shown`, with the on-level `volts` known: sqrt(shown * volts)."""
    within("The on-level voltage", volts, 1, 32, "V")
    return math.sqrt(within("The meter's reading", shown, 0, volts, "V") * volts)


def drop_while_on(shown_drop: float, duty: float) -> float:
    """True drop in V while current flows, from the averaged `shown_drop` (0 to 32 V) at `duty` (above 0)."""
    within("The drop shown", shown_drop, 0, 32, "V")
    return shown_drop / within("The share of time switched on", duty, 0.01, 1.0)


def filament_watts_share(duty: float) -> float:
    """Power of a filament as a share of that when always on, its resistance taken as constant within a period."""
    return _duty(duty)
