"""Dew point, whether a lens mists tonight, and how long mist takes to clear through open vents.

Vapour pressure by the Magnus formula over water with the World Meteorological Organization's constants.
"""

import math
from dataclasses import dataclass

from engine.physics._check import within

_A, _B, _E0 = 17.62, 243.12, 611.2  # -, C, Pa
_VAPOUR = 461.5  # J/(kg K), gas constant of water vapour
CLEAR_SKY_COOLING = 3.0  # K by which a lens under a clear still sky falls below the air (common practice, no source)
LAMP_WARMING = 20.0  # K by which a lit lamp warms the inside of its lens (common practice, no source)
FINE_MIST = 0.010  # kg/m2 of a fine even mist (common practice, no source)
# m3/s through the vents of a sound lamp: chosen so that a fine mist on half a lens goes in the 20 to 30 min,
# lamps on, that the trade calls normal.
VENT_FLOW = 2.0e-5


@dataclass(frozen=True)
class Night:
    """A night's outlook for a lens: temperatures in C, `margin` in K above the dew point (below 0: mist)."""

    dew_point: float
    lens: float
    margin: float
    mist: bool


def saturation_pressure(temperature: float) -> float:
    """Vapour pressure over water in Pa at `temperature` (-40 to 60 C): 611.2 exp(17.62 T / (243.12 + T))."""
    within("The temperature", temperature, -40, 60, "C")
    return _E0 * math.exp(_A * temperature / (_B + temperature))


def dew_point(temperature: float, humidity: float) -> float:
    """Dew point in C of air at `temperature` (-40 to 60 C), relative `humidity` 0.01 to 1: Magnus, turned round."""
    within("The temperature", temperature, -40, 60, "C")
    within("The relative humidity", humidity, 0.01, 1.0)
    term = math.log(humidity) + _A * temperature / (_B + temperature)
    return _B * term / (_A - term)


def vapour_density(temperature: float, humidity: float = 1.0) -> float:
    """Water in the air, kg/m3, at `temperature` (C) and `humidity` (0 to 1), as an ideal gas."""
    within("The relative humidity", humidity, 0.0, 1.0)
    return humidity * saturation_pressure(temperature) / (_VAPOUR * (temperature + 273.15))


def outlook(day: float, humidity: float, night: float, clear_sky: bool = True) -> Night:
    """Will the lens mist? Air of the `day` (C, `humidity` 0.01 to 1) is shut in the lamp; the lens follows the `night`.

    A stated simple model: the lens takes the night's air temperature (C), 3 K less under a clear sky; below the dew
    point of the air inside, it mists.
    """
    dew = dew_point(day, humidity)
    lens = within("The night's temperature", night, -40, 60, "C") - (CLEAR_SKY_COOLING if clear_sky else 0.0)
    return Night(dew, lens, lens - dew, lens < dew)


def water_on_lens(area: float, wetted: float = 0.5, film: float = FINE_MIST) -> float:
    """Water on a lens in kg: `area` (0.005 to 0.5 m2) times the `wetted` share times the `film` (kg/m2, up to 0.5)."""
    within("The lens area", area, 0.005, 0.5, "m2")
    within("The share of the lens that is wet", wetted, 0.0, 1.0)
    return area * wetted * within("The film of water", film, 0.0, 0.5, "kg/m2")


def clearing_time(water: float, lens: float, outside: float, humidity: float, flow: float = VENT_FLOW) -> float:
    """Seconds until `water` (kg) is carried off by `flow` (m3/s, up to 0.01) of outside air; infinite if it takes none.

    A stated simple model: air enters at the `outside` temperature and `humidity`, leaves saturated at the `lens`
    temperature (C), and heat is no limit. So an estimate of order, not a promise.
    """
    within("The water on the lens", water, 0.0, 0.5, "kg")
    within("The flow through the vents", flow, 0.0, 0.01, "m3/s")
    carried = flow * (vapour_density(lens) - vapour_density(outside, humidity))
    return water / carried if carried > 0 else math.inf
