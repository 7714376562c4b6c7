"""What a computation on a reading is given and what it yields.

Readings and givens are in the program's own units (V, A, ohm, W, s, m, m2, lm, degrees Celsius, plain shares).
`GIVEN` lists every given by name, with its meaning and the default used where nothing better is known.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Computed:
    """`value` is what question bands compare, in `unit` (empty: plain share, or as read); `lines` show the working.

    `lost` is the volts lost over what the reading spans, and `amps` the current that flowed meanwhile; both are nan
    where the reading tells nothing of the kind. `cost` says what the loss does to the lamp.
    """

    value: float
    unit: str
    lines: tuple[str, ...]
    lost: float = math.nan
    amps: float = math.nan
    cost: str = ""


@dataclass(frozen=True)
class Given:
    """Something a computation may be told: its default (nan: none), the unit it is written in, and its meaning."""

    default: float
    unit: str
    meaning: str


Figures = Mapping[str, float]
Computation = Callable[[float, Figures], Computed]
Foretelling = Callable[[Figures], str]

GIVEN: Mapping[str, Given] = MappingProxyType(
    {
        "battery-volts": Given(12.6, "V", "at the battery's posts, engine off"),
        "running-volts": Given(13.6, "V", "at the battery's posts, engine running and lights on"),
        "open-volts": Given(12.6, "V", "at the same place with nothing drawing current"),
        "lamp-volts": Given(math.nan, "V", "across the light source, lit; unless given, the battery's"),
        "source-watts": Given(55, "W", "rated power marked on the light source"),
        "source-volts": Given(13.2, "V", "voltage at which that power is stated; 28 for a 24 V source"),
        "settled-watts": Given(math.nan, "W", "taken by a lamp with electronics, whatever its volts; none: a filament"),
        "strike-watts": Given(math.nan, "W", "taken by a ballast while it strikes; none: nothing to strike"),
        "floor-volts": Given(9, "V", "under which a lamp with electronics gives up"),
        "circuit-amps": Given(math.nan, "A", "current that flows; unless given, what the light source would draw"),
        "wire-length": Given(4, "m", "length of the wire, one way"),
        "wire-section": Given(1.5e-6, "mm2", "section of the wire"),
        "wire-temperature": Given(20, "C", "temperature of the wire"),
        "contact-ohms": Given(0.01, "ohm", "resistance of a sound contact, such as a relay's with its legs"),
        "fuse-rating": Given(10, "A", "rating printed on the fuse"),
        "fuse-ohms": Given(0.0077, "ohm", "cold resistance of the fuse, from the table; 7.7 mohm is a 10 A one"),
        "objective-flux": Given(3200, "lm", "light that a sound source of its category gives"),
        "mounting-height": Given(0.65, "m", "height of the lamp over the ground"),
        "distance": Given(10, "m", "from lamp to wall"),
        "aim-target": Given(-0.012, "%", "slope the beam should have, negative down: on the plate near the lamp"),
        "fall-least": Given(0.005, "%", "least fall of a dipped beam that the rule allows"),
        "fall-most": Given(0.025, "%", "most fall of a dipped beam that the rule allows"),
        "air-temperature": Given(15, "C", "temperature of the air shut in the lamp"),
        "humidity": Given(0.7, "%", "relative humidity of that air"),
    }
)


def given_value(given: Figures, name: str) -> float:
    """What is given under `name`, else its default (nan where there is none)."""
    return given.get(name, GIVEN[name].default)
