"""Resistance and voltage drop of a copper cable, from its section, length and temperature."""

import math

from engine.physics._check import within

COPPER = 1.7241e-8  # ohm metre at 20 C, annealed copper of 100 % conductivity (NBS Handbook 100, read)
PER_KELVIN = 0.00393  # temperature coefficient at 20 C (NBS Handbook 100; exponent from memory)


def awg_area(gauge: float) -> float:
    """Section in m2 of AWG `gauge` (0 to 30): d = 0.127 mm * 92^((36-n)/39), ASTM B258 (from memory)."""
    within("The wire gauge", gauge, 0, 30, "AWG")
    return float(math.pi / 4 * (0.127e-3 * 92 ** ((36 - gauge) / 39)) ** 2)


def area_awg(area: float) -> float:
    """AWG number (not rounded) of a section in m2: the inverse of `awg_area`."""
    within("The section", area * 1e6, 0.05, 54, "mm2")
    diameter = math.sqrt(4 * area / math.pi)
    return 36 - 39 * math.log(diameter / 0.127e-3) / math.log(92)


def temperature_factor(temperature: float) -> float:
    """Resistance at `temperature` (-50 to 200 C) over that at 20 C: 1 + 0.00393 (T - 20)."""
    within("The cable's temperature", temperature, -50, 200, "C")
    return 1 + PER_KELVIN * (temperature - 20)


def per_metre(area: float, lay: float = 1.0) -> float:
    """Ohm per metre at 20 C of `area` (m2, 0.05 to 120 mm2); `lay` (1 to 1.2) allows for the longer twisted strands."""
    within("The section", area * 1e6, 0.05, 120, "mm2")
    return COPPER * within("The lay factor", lay, 1.0, 1.2) / area


def resistance(ohm_per_metre: float, length: float, temperature: float = 20.0) -> float:
    """Ohm of `length` (m, 0 to 100) of cable of `ohm_per_metre` (at 20 C), at `temperature` (C)."""
    within("The resistance per metre", ohm_per_metre, 0, 1, "ohm/m")
    within("The cable's length", length, 0, 100, "m")
    return ohm_per_metre * length * temperature_factor(temperature)


def drop(current: float, ohm_per_metre: float, length: float, temperature: float = 20.0) -> float:
    """Volts lost along a cable at `current` (A, 0 to 500). Count both ways if the return is a cable too."""
    return within("The current", current, 0, 500, "A") * resistance(ohm_per_metre, length, temperature)
