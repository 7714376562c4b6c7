"""Named computations that turn a reading into the figure which the outcomes of a question compare.

Readings and givens are in the program's own units (V, A, ohm, W, s, m, m2, degrees Celsius, plain shares).
`GIVEN` lists every given by name, with its meaning and the default used where nothing better is known.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from engine.physics import aim, ballast, battery, cable, dew, feed, filament, fuse, pwm, runup
from engine.physics._check import within
from engine.physics.units import show, show_time


@dataclass(frozen=True)
class Computed:
    """`value` is what question bands compare, in `unit` (empty: plain share, or as read); `lines` show the working."""

    value: float
    unit: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Given:
    """Something a computation may be told: its default, unit and meaning."""

    default: float
    unit: str
    meaning: str


Computation = Callable[[float, Mapping[str, float]], Computed]

GIVEN: Mapping[str, Given] = MappingProxyType(
    {
        "battery-volts": Given(12.6, "V", "at the battery's posts, with the same load on"),
        "open-volts": Given(12.6, "V", "at the same place with nothing drawing current"),
        "lamp-volts": Given(math.nan, "V", "across the light source, lit; unless given, the battery's"),
        "source-watts": Given(55, "W", "rated power marked on the light source"),
        "source-volts": Given(13.2, "V", "voltage at which that power is stated; 28 for a 24 V source"),
        "circuit-amps": Given(math.nan, "A", "current that flows; unless given, what the light source would draw"),
        "wire-length": Given(4, "m", "length of the wire, one way"),
        "wire-section": Given(1.5e-6, "m2", "section of the wire"),
        "wire-temperature": Given(20, "C", "temperature of the wire"),
        "fuse-rating": Given(10, "A", "rating printed on the fuse"),
        "fuse-ohms": Given(0.0077, "ohm", "cold resistance of the fuse, from the table; 7.7 mohm is a 10 A one"),
        "objective-flux": Given(3200, "lm", "light that a sound source of its category gives"),
        "mounting-height": Given(0.65, "m", "height of the lamp over the ground"),
        "distance": Given(10, "m", "from lamp to wall"),
        "aim-target": Given(-0.012, "%", "slope the beam should have, negative down: on the plate near the lamp"),
        "air-temperature": Given(15, "C", "temperature of the air shut in the lamp"),
        "humidity": Given(0.7, "%", "relative humidity of that air"),
    }
)


def given_value(given: Mapping[str, float], name: str) -> float:
    """What is given under `name`, else its default (which may be nan where a default must be computed)."""
    return given.get(name, GIVEN[name].default)


def _source(given: Mapping[str, float]) -> filament.Filament:
    return filament.Filament(given_value(given, "source-watts"), given_value(given, "source-volts"))


def _amps(given: Mapping[str, float], volts: float) -> tuple[float, str]:
    """The current that flows, and how it is known."""
    amps = given_value(given, "circuit-amps")
    if not math.isnan(amps):
        return amps, f"measured {show(amps, 'A')}"
    source = _source(given)
    amps = filament.current(source, volts)
    return amps, f"a {show(source.watts, 'W')} filament at {show(volts, 'V')} draws {show(amps, 'A')}"


def _at_lamp(given: Mapping[str, float]) -> float:
    volts = given_value(given, "lamp-volts")
    volts = given_value(given, "battery-volts") if math.isnan(volts) else volts
    return within("The voltage at the light source", volts, 1, 32, "V")


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"


def as_read(reading: float, given: Mapping[str, float]) -> Computed:
    """The reading itself, in the question's unit."""
    return Computed(reading, "", ())


def lost_from_battery(reading: float, given: Mapping[str, float]) -> Computed:
    """Volts lost on the way from the battery: battery-volts less the reading (V)."""
    supply = given_value(given, "battery-volts")
    lost = supply - reading
    return Computed(lost, "V", (f"battery {show(supply, 'V')}, here {show(reading, 'V')}: {show(lost, 'V', 2)} lost",))


def share_of_expected_current(reading: float, given: Mapping[str, float]) -> Computed:
    """Current read (A) as a share of what a sound filament draws at lamp-volts (or battery-volts)."""
    source, volts = _source(given), _at_lamp(given)
    expected = filament.current(source, volts)
    share = reading / expected
    return Computed(
        share,
        "",
        (
            f"expected {show(expected, 'A')} at {show(volts, 'V')} for a {show(source.watts, 'W')} source; "
            f"measured {show(reading, 'A')}; {_percent(share)} of it",
        ),
    )


def share_of_ballast_current(reading: float, given: Mapping[str, float]) -> Computed:
    """Settled input current read (A) as a share of what a sound ballast takes at lamp-volts (or battery-volts).

    source-watts, 35 or 25, says which ballast.
    """
    watts, volts = given_value(given, "source-watts"), _at_lamp(given)
    kind = ballast.nearest_kind(watts)
    expected = kind.steady_watts / volts
    share = reading / expected
    return Computed(
        share,
        "",
        (
            f"a {kind.lamp_watts:g} W ballast takes about {show(kind.steady_watts, 'W')}: "
            f"{show(expected, 'A')} at {show(volts, 'V')}; measured {show(reading, 'A')}; {_percent(share)} of it",
        ),
    )


def share_of_light(reading: float, given: Mapping[str, float]) -> Computed:
    """Light of a filament at the volts read, as a share of its light at battery-volts."""
    supply = given_value(given, "battery-volts")
    share = filament.light_share(reading, supply)
    lines = [f"{show(reading, 'V')} instead of {show(supply, 'V')} leaves {_percent(share)} of a filament's light"]
    if not filament.handbook_range(reading, supply):
        lines.append("more than 10 % off: an estimate of order only")
    return Computed(share, "", tuple(lines))


def feed_resistance(reading: float, given: Mapping[str, float]) -> Computed:
    """Ohm of feed and earth together, from the loaded volts read and open-volts."""
    supply = given_value(given, "open-volts")
    amps, how = _amps(given, reading)
    ohms = feed.series_resistance(supply, reading, amps)
    lost = show(max(supply - reading, 0), "V", 2)
    working = f"open {show(supply, 'V')}, loaded {show(reading, 'V')}: {lost} lost"
    return Computed(ohms, "ohm", (working, f"{how}, so {show(ohms, 'ohm', 2)} in the way"))


def earth_resistance(reading: float, given: Mapping[str, float]) -> Computed:
    """Ohm of the earth side, from the drop read (V) between the lamp's earth pin and battery negative."""
    amps, how = _amps(given, max(given_value(given, "battery-volts") - reading, 1.5))
    ohms = feed.series_resistance(reading, 0, amps)
    return Computed(ohms, "ohm", (f"{how}; {show(reading, 'V', 2)} over {show(ohms, 'ohm', 2)}",))


def drop_against_wire(reading: float, given: Mapping[str, float]) -> Computed:
    """Drop read (V) as a multiple of what the sound wire itself would lose at that current."""
    amps, how = _amps(given, max(given_value(given, "battery-volts") - reading, 1.5))
    area, length = given_value(given, "wire-section"), given_value(given, "wire-length")
    # Stranded road-vehicle wire is allowed about a tenth more than ideal copper (reference tables).
    expected = cable.drop(amps, cable.per_metre(area, 1.1), length, given_value(given, "wire-temperature"))
    multiple = reading / expected if expected > 0 else math.inf
    wire = f"{show(length, 'm')} of {show(area, 'mm2')} wire loses {show(expected, 'V', 2)}"
    return Computed(multiple, "", (f"{how}; {wire}; measured {show(reading, 'V', 2)}, {multiple:.1f} times that",))


def fuse_current(reading: float, given: Mapping[str, float]) -> Computed:
    """Current (A) through a fuse from the volts read over it and fuse-ohms."""
    ohms = given_value(given, "fuse-ohms")
    amps = fuse.current_from_drop(reading, ohms)
    line = f"{show(reading, 'mV')} over a fuse of {show(ohms, 'mohm')}: about {show(amps, 'A', 2)}"
    return Computed(amps, "A", (line,))


def fuse_load(reading: float, given: Mapping[str, float]) -> Computed:
    """Current read (A) as a share of fuse-rating."""
    rating = given_value(given, "fuse-rating")
    share = fuse.load_share(rating, reading)
    carried = fuse.carries(rating, reading)
    line = f"{show(reading, 'A')} is {_percent(share)} of {rating:g} A; it carries that: {carried}"
    return Computed(share, "", (line,))


def cold_filament(reading: float, given: Mapping[str, float]) -> Computed:
    """Cold resistance read (ohm) as a multiple of the highest a sound cold filament shows; under 1 is sound."""
    source = _source(given)
    low, high = filament.cold_resistance(source)
    multiple = reading / high
    span = f"{show(low, 'ohm', 2)} to {show(high, 'ohm', 2)}"
    kind = f"a sound cold {show(source.watts, 'W')} filament"
    line = f"{kind} shows {span}, meter leads apart; measured {show(reading, 'ohm', 2)}"
    return Computed(multiple, "", (line,))


def battery_charge(reading: float, given: Mapping[str, float]) -> Computed:
    """State of charge (share) of a 12 V battery, from its volts at rest."""
    share = battery.charge_at_rest(reading)
    return Computed(share, "", (f"{show(reading, 'V')} at rest is about {_percent(share)} charged",))


def run_up_share(reading: float, given: Mapping[str, float]) -> Computed:
    """Estimated light as a share of what the regulation asks (the worse of its times), from seconds to full light."""
    found = runup.judge(reading, given_value(given, "objective-flux"))
    lines = tuple(
        f"full after {show_time(reading)}: about {_percent(judged.share)} of the light after {judged.limit.after:g} s; "
        f"the regulation asks for {_percent(judged.limit.share)}: {'met' if judged.met else 'missed'}"
        for judged in found
    )
    return Computed(min(judged.share / judged.limit.share for judged in found), "", lines)


def aim_offset(reading: float, given: Mapping[str, float]) -> Computed:
    """How far the beam is off its target, in per cent (above 0: too high), from the cut-off's height on a wall (m)."""
    mounting, distance = given_value(given, "mounting-height"), given_value(given, "distance")
    target = given_value(given, "aim-target")
    found = aim.inclination(mounting, distance, reading)
    off = (found - target) * distance
    way = "on it" if abs(off) < 0.005 else f"{show(abs(off), 'cm', 2)} too {'high' if off > 0 else 'low'}"
    wanted = aim.cutoff_height(mounting, distance, target)
    line = (
        f"lamp at {show(mounting, 'cm')}, wall at {show(distance, 'm')}, target {show(target, '%')}: "
        f"cut-off belongs at {show(wanted, 'cm')}, is at {show(reading, 'cm')}, {way}"
    )
    return Computed((found - target) * 100, "%", (line,))


def mist_margin(reading: float, given: Mapping[str, float]) -> Computed:
    """Kelvin by which the lens temperature read (C) is above the dew point of the air in the lamp; below 0 it mists."""
    dew_point = dew.dew_point(given_value(given, "air-temperature"), given_value(given, "humidity"))
    margin = reading - dew_point
    line = f"air in the lamp mists below {show(dew_point, 'C')}; the lens is at {show(reading, 'C')}"
    return Computed(margin, "K", (line,))


def effective_volts(reading: float, given: Mapping[str, float]) -> Computed:
    """Volts that do the work on a pulsed feed, from an averaging meter's reading (V) and battery-volts as on-level."""
    supply = given_value(given, "battery-volts")
    volts = pwm.effective_from_average(reading, supply)
    average = f"a meter shows the average, {show(reading, 'V')}"
    line = f"{average}; pulses of {show(supply, 'V')} work like {show(volts, 'V')}"
    return Computed(volts, "V", (line,))


COMPUTATIONS: Mapping[str, Computation] = MappingProxyType(
    {
        "as-read": as_read,
        "lost-from-battery": lost_from_battery,
        "share-of-expected-current": share_of_expected_current,
        "share-of-ballast-current": share_of_ballast_current,
        "share-of-light": share_of_light,
        "feed-resistance": feed_resistance,
        "earth-resistance": earth_resistance,
        "drop-against-wire": drop_against_wire,
        "fuse-current": fuse_current,
        "fuse-load": fuse_load,
        "cold-filament": cold_filament,
        "battery-charge": battery_charge,
        "run-up-share": run_up_share,
        "aim-offset": aim_offset,
        "mist-margin": mist_margin,
        "effective-volts": effective_volts,
    }
)
