"""The lamp as a load on its circuit: the current it draws, the wire it hangs on, the light it gives at its volts."""

import math

from engine.physics import ballast, cable, feed, filament
from engine.physics._check import within
from engine.physics.computed import Figures, given_value
from engine.physics.parts import in_parts, percent
from engine.physics.units import show

STRANDED = 1.1  # road-vehicle wire is allowed about a tenth more than ideal copper (reference tables)
_DARK = 0.11  # share of its stated voltage under which a filament is no longer reckoned with


def source(given: Figures) -> filament.Filament:
    """The filament that is given."""
    return filament.Filament(given_value(given, "source-watts"), given_value(given, "source-volts"))


def has_filament(given: Figures) -> bool:
    """Whether the lamp is a filament, and not electronics that take what they need."""
    return math.isnan(given_value(given, "settled-watts"))


def amps(given: Figures, volts: float) -> tuple[float, str]:
    """The current that flows with `volts` (V, 0 to 32) at the lamp, and how it is known."""
    measured = given_value(given, "circuit-amps")
    if not math.isnan(measured):
        return measured, f"measured {show(measured, 'A')}"
    within("The voltage at the light source", volts, 0, 32, "V")
    if has_filament(given):
        known = source(given)
        volts = max(volts, _DARK * known.volts)
        drawn = filament.current(known, volts)
        return drawn, f"a {show(known.watts, 'W')} filament at {show(volts, 'V')} draws {show(drawn, 'A')}"
    watts, volts = given_value(given, "settled-watts"), max(volts, given_value(given, "floor-volts"))
    drawn = watts / volts
    return drawn, f"a lamp that takes {show(watts, 'W')} at {show(volts, 'V')} draws {show(drawn, 'A')}"


def volts(given: Figures) -> float:
    """Volts at the light source while it is lit: as read, else the battery's with the engine running."""
    read = given_value(given, "lamp-volts")
    usable = not math.isnan(read) and read >= 6
    return within(
        "The voltage at the light source", read if usable else given_value(given, "running-volts"), 1, 32, "V"
    )


def wire_ohms(given: Figures) -> float:
    """Ohm of the sound wire."""
    per_metre = cable.per_metre(given_value(given, "wire-section"), STRANDED)
    return cable.resistance(per_metre, given_value(given, "wire-length"), given_value(given, "wire-temperature"))


def wire_words(given: Figures) -> str:
    """The wire in words."""
    return f"{show(given_value(given, 'wire-length'), 'm')} of {show(given_value(given, 'wire-section'), 'mm2')} wire"


def in_the_way(given: Figures, supply: float, reading: float) -> tuple[float, float, tuple[str, ...]]:
    """Ohm between `supply` and the loaded `reading` (V), the current, and what that costs in light, in words."""
    drawn, how = amps(given, reading)
    ohms = feed.series_resistance(supply, reading, drawn)
    return (
        ohms,
        drawn,
        (f"{how}, so {show(ohms, 'ohm', 2)} in the way, feed and earth together", cost(given, supply, reading)),
    )


def cost(given: Figures, supply: float, reading: float) -> str:
    """What a lamp loses that gets `reading` instead of `supply` (V), in words."""
    if not has_filament(given):
        floor = show(given_value(given, "floor-volts"), "V")
        return f"electronics hold their light down to about {floor}, and draw the more current the less volts they get"
    least = _DARK * given_value(given, "source-volts")
    share = filament.light_share(reading, supply) if reading >= least else 0.0
    rough = "" if filament.handbook_range(reading, supply) else " (an estimate of order)"
    return f"a filament then gives {percent(share)} of its light: {in_parts(1 - share)} of the light is lost{rough}"


def strike(given: Figures, supply: float) -> str:
    """What becomes of a ballast that strikes behind the wire on `supply` volts (V); nothing where none strikes."""
    watts, floor = given_value(given, "strike-watts"), given_value(given, "floor-volts")
    if math.isnan(watts):
        return ""
    found = ballast.operate(supply, wire_ohms(given), watts, floor)
    most = ballast.largest_resistance(supply, watts, floor)
    asked = f"at its strike the ballast takes {show(watts, 'W')}: behind {wire_words(given)}"
    bears = f"it bears {show(most, 'ohm', 2)} in the way at most"
    if not found.holds:
        return f"{asked} it collapses, whatever a meter shows without load: {found.why}; {bears}"
    return f"{asked} {show(found.volts, 'V')} are left of {show(supply, 'V')}; {bears}"
