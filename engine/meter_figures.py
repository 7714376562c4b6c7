"""The figures of what a meter and a colorimeter show: a feed that is switched on and off quickly, and the colour."""

from __future__ import annotations

from engine.figures import Figure, Item
from engine.physics import colour, filament, pwm
from engine.physics._check import within
from engine.physics.parts import in_parts
from engine.physics.units import show

ZERO = 273.15  # the program holds temperatures in degrees Celsius
Xy = colour.Xy


def pwm_figure(volts: float, duty: float) -> Figure:
    """A pulsed feed of `volts` (V, 1 to 32) on for `duty` (share, 0.01 to 1): what a meter shows and the lamp gets."""
    within("The on-level voltage", volts, 1, 32, "V")
    shown = pwm.averaged(volts, within("The share of time switched on", duty, 0.01, 1))
    works = pwm.effective(volts, duty)
    light = filament.light_share(works, volts)
    items = (
        Item("shown", "a plain meter shows", shown, "V"),
        Item("effective", "it works like", works, "V"),
        Item("power", "power against always on", pwm.filament_watts_share(duty), "%"),
        Item("light", "a filament's light against always on", light, "%"),
    )
    says = [
        f"A meter that averages shows {show(shown, 'V')}; a filament gets what {show(works, 'V')} steady would give."
    ]
    if 1 - light >= 0.03:
        says.append(f"That is {in_parts(1 - light)} less light than always on.")
    mind = (
        "Compare left and right with the same meter. A drop read on a pulsed feed is too small by the duty as well.",
    )
    return Figure("pwm", items, tuple(says), mind)


def colour_figure(found: Xy, other: Xy | None = None) -> Figure:
    """A light's colour (x, y): its temperature, whether it is within the white fields, how it differs from `other`."""
    says = [_in_field(found, field) for field in (colour.SOURCE_WHITE, colour.ROAD_WHITE)]
    items = []
    try:
        kelvin = colour.colour_temperature(found)
    except ValueError as too_far:
        says.append(f"{too_far}.")
    else:
        items.append(Item("colour_temperature", "colour temperature", kelvin - ZERO, "K"))
        if not colour.beyond(found, colour.ROAD_WHITE):
            says.append(f"To the eye: {colour.look(kelvin)}.")
    if other is not None:
        words = colour.shift(other, found)
        says.append(f"Beside the other light it looks {' and '.join(words) if words else 'the same'}.")
    mind = ("Fields from memory of UN R99 and R48. Two sound sources of different age never look quite alike.",)
    return Figure("colour", tuple(items), tuple(says), mind)


def _in_field(xy: Xy, field: colour.Field) -> str:
    out = colour.beyond(xy, field)
    return f"{field.name.capitalize()}: {'too ' + ' and '.join(out) if out else 'within the field'}."
