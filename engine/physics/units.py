"""Numbers with units as people type them, and back: a small closed table, so that nothing strange is ever accepted.

Inside the program: V, A, ohm, W, s, m, m2, lm, degrees Celsius, and plain shares (1 % is 0.01, also for slopes).
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

from engine.physics.cable import area_awg, awg_area

Convert = Callable[[float], float]


@dataclass(frozen=True)
class Unit:
    """One way to write a quantity: its dimension, and the way into and out of the program's own unit."""

    symbol: str
    dimension: str
    inward: Convert
    outward: Convert


def _times(symbol: str, dimension: str, factor: float) -> Unit:
    return Unit(symbol, dimension, lambda x: x * factor, lambda x: x / factor)


def _parts(symbol: str, dimension: str, number: float) -> Unit:
    """A unit of which `number` make one: dividing by a whole number keeps 11200 mV at 11.2 V exactly."""
    return Unit(symbol, dimension, lambda x: x / number, lambda x: x * number)


_UNITS = (
    _times("V", "voltage", 1), _parts("mV", "voltage", 1000), _times("kV", "voltage", 1e3),
    _times("A", "current", 1), _parts("mA", "current", 1000),
    _times("ohm", "resistance", 1), _parts("mohm", "resistance", 1000), _times("kohm", "resistance", 1e3),
    _times("Mohm", "resistance", 1e6),
    _times("W", "power", 1), _times("kW", "power", 1e3),
    _times("s", "time", 1), _parts("ms", "time", 1000), _times("min", "time", 60), _times("h", "time", 3600),
    _times("m", "length", 1), _parts("cm", "length", 100), _parts("mm", "length", 1000),
    _times("in", "length", 0.0254), _times("ft", "length", 0.3048),
    _parts("mm2", "section", 1e6), Unit("AWG", "section", awg_area, area_awg),
    _times("lm", "light", 1),
    _parts("%", "share", 100),
    Unit("deg", "share", lambda x: math.tan(math.radians(x)), lambda x: math.degrees(math.atan(x))),
    _times("C", "temperature", 1),
    Unit("F", "temperature", lambda x: (x - 32) / 1.8, lambda x: x * 1.8 + 32),
    Unit("K", "temperature", lambda x: x - 273.15, lambda x: x + 273.15),
)  # fmt: skip
UNITS = {unit.symbol: unit for unit in _UNITS}

# Greek omega and the ohm sign are two characters that look alike; both get typed.
_OMEGAS = ("\N{GREEK CAPITAL LETTER OMEGA}", "\N{OHM SIGN}")
_OHMS = {prefix + omega: prefix + "ohm" for omega in _OMEGAS for prefix in ("", "m", "k", "M")}
_SPELLINGS = _OHMS | {
    "volt": "V", "volts": "V", "millivolts": "mV", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A",
    "ohms": "ohm", "watt": "W", "watts": "W", "sec": "s", "second": "s", "seconds": "s", "minute": "min",
    "minutes": "min", "hour": "h", "hours": "h", "inch": "in", "inches": "in", '"': "in", "″": "in", "foot": "ft",
    "feet": "ft", "'": "ft", "′": "ft", "mm²": "mm2", "mm^2": "mm2", "sqmm": "mm2", "lumen": "lm", "lumens": "lm",
    "percent": "%", "°": "deg", "degrees": "deg", "°C": "C", "degC": "C", "°F": "F", "degF": "F",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m",
}  # fmt: skip

_SHAPE = re.compile(r"\s*(?P<number>[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(?P<unit>\D.*?)?\s*")
_AWG_FIRST = re.compile(r"\s*awg\s*#?(\d{1,2})\s*", re.IGNORECASE)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def _loose() -> dict[str, str]:
    """Spellings regardless of case, where only one unit can be meant (so `mv` is mV, but `MOHM` is nobody's)."""
    names = {symbol: symbol for symbol in UNITS} | _SPELLINGS
    folded: dict[str, set[str]] = {}
    for name, symbol in names.items():
        folded.setdefault(name.casefold(), set()).add(symbol)
    return {name: next(iter(found)) for name, found in folded.items() if len(found) == 1}


_LOOSE = _loose()


def unit(symbol: str) -> Unit:
    """The unit meant by `symbol`, in any of its spellings; ValueError listing what exists."""
    exact = UNITS.get(symbol) or UNITS.get(_SPELLINGS.get(symbol, ""))
    found = exact or UNITS.get(_LOOSE.get(symbol.casefold(), ""))
    if found is None:
        raise ValueError(f"{symbol!r} is not a unit known here. Known: {', '.join(UNITS)}")
    return found


def accepted(symbol: str) -> tuple[str, ...]:
    """All units of the dimension of `symbol`."""
    dimension = unit(symbol).dimension
    return tuple(u.symbol for u in _UNITS if u.dimension == dimension)


def _number(text: str) -> float:
    if _THOUSANDS.fullmatch(text):
        plain = text.replace(",", "")
        raise ValueError(f"{text} can be read two ways. Write {plain}, or {text.replace(',', '.')}")
    return float(text.replace(",", "."))


def parse(text: str, default: str) -> float:
    """The value of what a person typed, in the program's own unit; `default` is the unit when none is typed.

    Accepts `11.2`, `11,2 V`, `11200 mV`, `-1.2 %`, `35 in`, `16 AWG`. ValueError says what would be accepted.
    """
    wanted = unit(default)
    awg = _AWG_FIRST.fullmatch(text) if wanted.dimension == "section" else None
    if awg:
        return UNITS["AWG"].inward(float(awg.group(1)))
    shape = _SHAPE.fullmatch(text.replace("\N{MINUS SIGN}", "-"))
    choices = ", ".join(accepted(default))
    if shape is None:
        raise ValueError(f"Give a number, with or without a unit, such as 1.5 {wanted.symbol}. Units: {choices}")
    number = _number(shape.group("number"))
    if not shape.group("unit"):
        return _finite(wanted.inward(number))
    try:
        given = unit(shape.group("unit"))
    except ValueError:
        raise ValueError(f"The unit {shape.group('unit')!r} does not fit here. Units: {choices}") from None
    if given.dimension != wanted.dimension:
        raise ValueError(f"{given.symbol} measures {given.dimension}; this takes a {wanted.dimension}: {choices}")
    return _finite(given.inward(number))


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise ValueError("That number is too large to be meant; give it again")
    return value


def rounded(number: float, digits: int = 3) -> str:
    """`number` to `digits` significant figures, idle zeros dropped, never in powers of ten."""
    if number == 0 or not math.isfinite(number):
        return "0" if number == 0 else ("no limit" if number > 0 else str(number))
    places = max(digits - 1 - math.floor(math.log10(abs(number))), 0)
    text = f"{number:.{min(places, 6)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def show(value: float, symbol: str, digits: int = 3) -> str:
    """`value` (in the program's own unit) written in the unit `symbol`, to `digits` significant figures."""
    target = unit(symbol)
    number = target.outward(value)
    if target.symbol in ("F", "C", "K"):
        return f"{number:.1f} °{target.symbol}" if target.symbol != "K" else f"{number:.1f} K"
    if target.symbol == "AWG":
        return f"{number:.0f} AWG"
    name = {"mm2": "mm²", "deg": "°"}.get(target.symbol, target.symbol)
    return f"{rounded(number, digits)} {name}"


def show_time(seconds: float) -> str:
    """A time in the unit that reads best: ms, s, min or h."""
    if math.isinf(seconds):
        return "no limit"
    symbol = next(s for top, s in ((0.1, "ms"), (120, "s"), (7200, "min"), (math.inf, "h")) if seconds < top)
    return show(seconds, symbol, 2)


_SYSTEMS = {
    "metric": {"height": "cm", "distance": "m", "temperature": "C", "section": "mm2"},
    "imperial": {"height": "in", "distance": "ft", "temperature": "F", "section": "AWG"},
}


def preferred(kind: str, system: str = "metric") -> str:
    """The unit of `system` (metric, imperial) for height, distance, temperature or section; any other `kind` itself."""
    return _SYSTEMS[system].get(kind, kind)
