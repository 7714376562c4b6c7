"""A filament lamp against its voltage: current, power, light, life, colour, cold resistance and inrush.

The handbook exponents (Fink & Beaty, Standard Handbook for Electrical Engineers, p. 22-8, as cited in the
encyclopaedia article "Lamp rerating") hold within about 10 % of the rated voltage. Further out the functions
still answer, as an estimate; `handbook_range` tells which of the two it is.
"""

import math
from dataclasses import dataclass

from engine.physics._check import within
from engine.physics._solve import between, root_between

CURRENT_EXPONENT = 0.55
LIGHT_EXPONENT = 3.4  # handbook 3.4 to 3.5; regulation sheets imply 2.6 to 3.8
LIFE_EXPONENT = -13.0  # handbook -12 to -16
COLOUR_EXPONENT = 0.42
LOWEST_SHARE, HIGHEST_SHARE = 0.1, 1.6  # of the stated voltage; outside it a power law says nothing

# Hot resistance over cold, published rules of thumb (read: 10 to 15 times, up to 16 for halogen by resistivity).
HOT_OVER_COLD = (10.0, 16.0)

# Tungsten resistivity, ohm metre at kelvin; published table (read), 20 C to 3227 C.
_TUNGSTEN = (
    (293.15, 5.5e-8), (500.0, 10.5e-8), (1000.0, 24.3e-8), (2000.0, 55.7e-8), (3000.0, 90.4e-8), (3500.0, 108.5e-8),
)  # fmt: skip


@dataclass(frozen=True)
class Filament:
    """A filament stated at one point: `watts` drawn at `volts` (regulations test 12 V types at 13.2 V)."""

    watts: float
    volts: float = 13.2

    def __post_init__(self) -> None:
        within("The filament's power", self.watts, 0.5, 250, "W")
        within("The voltage at which that power is stated", self.volts, 5, 32, "V")


def _share(volts: float, stated: float) -> float:
    return within("The lamp's voltage as a share of its stated voltage", volts / stated, LOWEST_SHARE, HIGHEST_SHARE)


def handbook_range(volts: float, stated: float) -> bool:
    """True where the exponents are trusted: within 10 % of the stated voltage."""
    return abs(volts / stated - 1) <= 0.10 + 1e-9


def current(filament: Filament, volts: float) -> float:
    """Current in A at `volts` (V, 0.1 to 1.6 of stated): stated current times (V/Vs)^0.55. ValueError outside."""
    return filament.watts / filament.volts * math.pow(_share(volts, filament.volts), CURRENT_EXPONENT)


def power(filament: Filament, volts: float) -> float:
    """Power in W at `volts` (V): volts times `current`, so the exponent is 1.55 (handbook 1.6, within 1 %)."""
    return volts * current(filament, volts)


def resistance(filament: Filament, volts: float) -> float:
    """Hot resistance in ohm when run at `volts` (V)."""
    return volts / current(filament, volts)


def light_share(volts: float, stated: float, exponent: float = LIGHT_EXPONENT) -> float:
    """Light at `volts` as a share of the light at `stated` (both V): (V/Vs)^3.4, good to 5 % per 10 % of volts."""
    return math.pow(_share(volts, stated), within("The light exponent", exponent, 2.0, 4.5))


def life_share(volts: float, stated: float, exponent: float = LIFE_EXPONENT) -> float:
    """Life at `volts` as a share of that at `stated` (both V): (V/Vs)^-13; below 0.9 the halogen cycle may stop."""
    return math.pow(_share(volts, stated), within("The life exponent", exponent, -18.0, -9.0))


def colour_temperature(kelvin: float, volts: float, stated: float) -> float:
    """Colour temperature in K at `volts`, for `kelvin` (1800 to 3700 K) at `stated` volts: exponent 0.42."""
    within("The colour temperature", kelvin, 1800, 3700, "K")
    return kelvin * math.pow(_share(volts, stated), COLOUR_EXPONENT)


def tungsten_resistivity(kelvin: float) -> float:
    """Resistivity of tungsten in ohm metre at 293 to 3500 K, by interpolation of a published table."""
    within("The filament's temperature", kelvin, 293, 3500, "K")
    return between(_TUNGSTEN, kelvin)


def cold_resistance(filament: Filament) -> tuple[float, float]:
    """Lowest and highest ohm a sound cold filament shows: its hot resistance over 16 and over 10."""
    hot = resistance(filament, filament.volts)
    return hot / HOT_OVER_COLD[1], hot / HOT_OVER_COLD[0]


def inrush(filament: Filament, volts: float, circuit_resistance: float = 0.0) -> float:
    """Largest first current in A: `volts` over the lowest cold resistance plus the circuit's (ohm, 0 to 10)."""
    within("The circuit's resistance", circuit_resistance, 0, 10, "ohm")
    _share(volts, filament.volts)
    return volts / (cold_resistance(filament)[0] + circuit_resistance)


def loaded_volts(filament: Filament, supply: float, circuit_resistance: float) -> float:
    """Volts left at the filament behind `circuit_resistance` (ohm, 0 to 100), by solving V + R I(V) = supply.

    Below a tenth of the stated voltage the filament is nearly cold; the answer is then held at that floor's law.
    """
    within("The circuit's resistance", circuit_resistance, 0, 100, "ohm")
    _share(supply, filament.volts)
    rated = filament.watts / filament.volts

    def excess(volts: float) -> float:
        return volts + circuit_resistance * rated * math.pow(volts / filament.volts, CURRENT_EXPONENT) - supply

    return root_between(excess, 0.0, supply)


def light_lost(open_volts: float, volts: float) -> float:
    """Share of the light lost (0 to 1) when a lamp gets `volts` instead of `open_volts` (both V)."""
    if volts > open_volts:
        raise ValueError(f"Loaded ({volts:g} V) cannot be above open ({open_volts:g} V): read both again")
    return 1 - light_share(volts, open_volts)
