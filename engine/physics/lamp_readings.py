"""Computations on readings of the lamp itself: current, filament, run-up, aim, mist."""

from engine.physics import aim, ballast, dew, filament, load, runup
from engine.physics._check import within
from engine.physics.computed import Computed, Figures, given_value
from engine.physics.parts import percent
from engine.physics.units import show, show_time


def _against(reading: float, expected: float, words: str) -> Computed:
    share = within("The current", reading, 0, 1e4, "A") / expected
    line = f"expected {show(expected, 'A')} {words}; measured {show(reading, 'A')}: {percent(share)} of it"
    return Computed(share, "", (line,))


def _filament_amps(given: Figures) -> tuple[float, str]:
    source, volts = load.source(given), load.volts(given)
    return filament.current(source, volts), f"at {show(volts, 'V')} for a {show(source.watts, 'W')} source"


def share_of_expected_current(reading: float, given: Figures) -> Computed:
    """Current read (A) as a share of what a sound filament draws at lamp-volts (else running-volts)."""
    return _against(reading, *_filament_amps(given))


def foretell_current(given: Figures) -> str:
    """What a sound filament draws."""
    amps, words = _filament_amps(given)
    return f"about {show(amps, 'A')} {words}"


def _ballast_amps(given: Figures) -> tuple[float, str]:
    kind, volts = ballast.nearest_kind(given_value(given, "source-watts")), load.volts(given)
    words = f"at {show(volts, 'V')} for a {kind.lamp_watts:g} W ballast, which takes {show(kind.steady_watts, 'W')}"
    return kind.steady_watts / volts, words


def share_of_ballast_current(reading: float, given: Figures) -> Computed:
    """Settled input current read (A) as a share of what a sound ballast takes at lamp-volts (else running-volts).

    source-watts, 35 or 25, says which ballast.
    """
    return _against(reading, *_ballast_amps(given))


def foretell_ballast(given: Figures) -> str:
    """What a sound ballast takes once settled."""
    amps, words = _ballast_amps(given)
    return f"about {show(amps, 'A')} {words}"


def _cold(given: Figures) -> tuple[float, str]:
    source = load.source(given)
    low, high = filament.cold_resistance(source)
    span = f"{show(low, 'ohm', 2)} to {show(high, 'ohm', 2)}"
    return (
        high,
        f"a sound cold {show(source.watts, 'W')} filament shows {span}, and the meter's leads some 0.2 ohm more",
    )


def cold_filament(reading: float, given: Figures) -> Computed:
    """Cold resistance read (ohm) as a multiple of the highest a sound cold filament shows; under 1 is sound."""
    high, words = _cold(given)
    return Computed(reading / high, "", (f"{words}; measured {show(reading, 'ohm', 2)}",))


def foretell_filament(given: Figures) -> str:
    """What a sound filament shows when cold."""
    return _cold(given)[1]


def run_up_share(reading: float, given: Figures) -> Computed:
    """Estimated light as a share of what the regulation asks (the worse of its times), from seconds to full light."""
    found = runup.judge(reading, given_value(given, "objective-flux"))
    lines = tuple(
        f"full after {show_time(reading)}: about {percent(judged.share)} of the light after {judged.limit.after:g} s; "
        f"the regulation asks for {percent(judged.limit.share)}: {'met' if judged.met else 'missed'}"
        for judged in found
    )
    return Computed(min(judged.share / judged.limit.share for judged in found), "", lines)


def foretell_run_up(given: Figures) -> str:
    """What the regulation asks of a run-up."""
    limits = runup.limits(given_value(given, "objective-flux"))
    asked = " and ".join(f"{percent(limit.share)} of the light {limit.after:g} s" for limit in limits)
    slowest = min(runup.slowest_full(limit) for limit in limits)
    return f"the regulation asks for {asked} after the strike: full after {show_time(slowest)} at the latest"


def aim_offset(reading: float, given: Figures) -> Computed:
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


def _band(given: Figures) -> tuple[float, float]:
    least, most = given_value(given, "fall-least"), given_value(given, "fall-most")
    if not -0.15 <= least < most <= 0.15:
        raise ValueError("The least fall allowed must be smaller than the most, and neither above 15 %")
    return least, most


def aim_in_band(reading: float, given: Figures) -> Computed:
    """Where the fall read (share, positive down) lies in the legal band: below 0 too high, above 1 too low."""
    within("The fall of the beam", reading, -0.15, 0.15)
    least, most = _band(given)
    allowed = f"allowed is a fall of {show(least, '%', 2)} to {show(most, '%', 2)}; measured {show(reading, '%', 2)}"
    off = max(least - reading, reading - most) * 10
    way = "inside" if off <= 0 else f"{show(off, 'cm', 2)} too {'high' if reading < least else 'low'} at 10 m"
    return Computed((reading - least) / (most - least), "of the band", (f"{allowed}: {way}",))


def foretell_aim(given: Figures) -> str:
    """Where the beam may point."""
    least, most = _band(given)
    height = given_value(given, "mounting-height")
    low, high = (aim.cutoff_height(height, 10, -fall) for fall in (most, least))
    band = f"a fall of {show(least, '%', 2)} to {show(most, '%', 2)} is allowed"
    edge = f"on a wall at 10 m the edge of a lamp at {show(height, 'cm')}"
    return f"{band}: {edge} lies between {show(low, 'cm')} and {show(high, 'cm')}"


def fall_on_wall(height: float, given: Figures) -> tuple[float, str]:
    """The fall (share, positive down) that the height (m) of a cut-off on a wall tells, and the working."""
    mounting, distance = given_value(given, "mounting-height"), given_value(given, "distance")
    fall = -aim.inclination(mounting, distance, height)
    where = f"lamp at {show(mounting, 'cm')}, edge at {show(height, 'cm')} on a wall at {show(distance, 'm')}"
    return fall, f"{where}: it falls {show(fall, '%', 2)}"


def mist_margin(reading: float, given: Figures) -> Computed:
    """Kelvin by which the lens temperature read (C) is above the dew point of the air in the lamp; below 0 it mists."""
    dew_point = dew.dew_point(given_value(given, "air-temperature"), given_value(given, "humidity"))
    margin = reading - dew_point
    line = f"air in the lamp mists below {show(dew_point, 'C')}; the lens is at {show(reading, 'C')}"
    return Computed(margin, "K", (line,))


def night_margin(reading: float, given: Figures) -> Computed:
    """Kelvin by which a lens stays above the dew point in a clear night as cold as read (C); below 0 it mists."""
    air, humidity = given_value(given, "air-temperature"), given_value(given, "humidity")
    night = dew.outlook(air, humidity, reading)
    shut_in = (
        f"air of {show(air, 'C')} and {percent(humidity)} shut in the lamp mists below {show(night.dew_point, 'C')}"
    )
    line = f"{shut_in}; in a clear night of {show(reading, 'C')} the lens goes down to {show(night.lens, 'C')}"
    return Computed(night.margin, "K", (line,))


def foretell_night(given: Figures) -> str:
    """From which night on a sound lamp mists."""
    dew_point = dew.dew_point(given_value(given, "air-temperature"), given_value(given, "humidity"))
    least = dew_point + dew.CLEAR_SKY_COOLING
    return f"a clear night under about {show(least, 'C')} mists a sound lamp too; a warmer one does not"
