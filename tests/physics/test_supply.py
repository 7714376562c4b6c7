"""Filament, feed, cable, ballast, pulsed supply, fuse, battery: the laws they keep, the cases they must get right."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from engine.physics import ballast, battery, cable, feed, filament, fuse, pwm
from engine.physics.filament import Filament

HEADLAMP = Filament(55, 13.2)
GATES = (
    fuse.Gate(1.1, 360000),
    fuse.Gate(1.35, 0.75, 600),
    fuse.Gate(1.6, 0.25, 50),
    fuse.Gate(2.0, 0.15, 5),
    fuse.Gate(3.5, 0.08, 0.5),
    fuse.Gate(6.0, 0.03, 0.1),
)
VOLTS = st.floats(min_value=9, max_value=15)


def test_dim_halogen_lamp_is_a_resistance_in_the_feed() -> None:
    """12.4 V open and 10.9 V loaded at the plug: 0.4 ohm in the way, and a third of the light gone."""
    amps = filament.current(HEADLAMP, 10.9)
    assert 3.5 < amps < 4.0
    assert feed.series_resistance(12.4, 10.9, amps) == pytest.approx(0.40, abs=0.03)
    assert filament.light_lost(12.4, 10.9) == pytest.approx(0.355, abs=0.03)


def test_points_along_the_chain_find_the_bad_stretch() -> None:
    """The stretch that loses most is named, with its own resistance."""
    volts = {"battery": 12.4, "fuse": 12.35, "relay": 12.3, "plug": 11.0}
    points = [feed.Point(name, reading) for name, reading in volts.items()]
    found = feed.segments(points, 3.75)
    bad = feed.worst(found)
    assert bad is not None
    assert (bad.start, bad.end) == ("relay", "plug")
    assert bad.resistance == pytest.approx(1.3 / 3.75)
    assert not feed.spread_evenly(found)


def test_an_even_loss_is_wire_not_joint() -> None:
    """Where no stretch holds half the loss, the wire is thin or long."""
    points = [feed.Point(str(i), 12.4 - 0.3 * i) for i in range(4)]
    assert feed.spread_evenly(feed.segments(points, 4))


def test_sound_chain_has_no_worst_stretch() -> None:
    """Losses within what is usual accuse nothing."""
    points = [feed.Point("battery", 12.4), feed.Point("fuse", 12.36), feed.Point("plug", 12.3)]
    assert feed.worst(feed.segments(points, 4)) is None


def test_points_out_of_order_are_named() -> None:
    """A reading above the one before it is asked back with both names."""
    with pytest.raises(ValueError, match=r"plug \(12 V\) reads above fuse \(11 V\)"):
        feed.segments([feed.Point("fuse", 11), feed.Point("plug", 12)], 4)


def test_earth_reading_parts_the_loss() -> None:
    """1.5 V lost in all, 1.2 V of it on the earth side, at 3.75 A."""
    parted = feed.split(12.4, 10.9, 1.2, 3.75)
    assert parted.earth_resistance == pytest.approx(0.32)
    assert parted.feed_resistance == pytest.approx(0.08)


def test_earth_cannot_lose_more_than_the_whole() -> None:
    """Readings that contradict each other are asked back."""
    with pytest.raises(ValueError, match="cannot lose more"):
        feed.split(12.4, 11.9, 1.2, 4)


def test_no_current_no_drop() -> None:
    """A resistance from unloaded readings is refused with what to do."""
    with pytest.raises(ValueError, match="make the circuit draw current"):
        feed.series_resistance(12.4, 12.4, 0)


def test_loaded_above_open_is_refused() -> None:
    """Half a volt more under load means the engine was started between the readings."""
    with pytest.raises(ValueError, match="same state"):
        feed.series_resistance(12.4, 12.9, 4)


@given(VOLTS, st.floats(0, 5))
def test_reading_back_gives_the_resistance_that_made_it(supply: float, ohms: float) -> None:
    """The lamp solved behind a resistance, read like a meter would, yields that resistance."""
    loaded = filament.loaded_volts(HEADLAMP, supply, ohms)
    assume(loaded > 1.5)
    found = feed.series_resistance(supply, loaded, filament.current(HEADLAMP, loaded))
    assert found == pytest.approx(ohms, abs=1e-9)


@given(VOLTS, st.floats(0, 20), st.floats(0, 20))
def test_more_resistance_never_gives_more_volts(supply: float, one: float, other: float) -> None:
    """A lamp behind the larger resistance never gets the higher voltage."""
    low, high = sorted((one, other))
    assert filament.loaded_volts(HEADLAMP, supply, high) <= filament.loaded_volts(HEADLAMP, supply, low) + 1e-12


@given(st.floats(0, 50), st.floats(0, 50), st.floats(0.3e-6, 6e-6), st.floats(-40, 120))
def test_more_cable_never_loses_less(one: float, other: float, area: float, degrees: float) -> None:
    """Longer cable has no lower drop, at any section and temperature."""
    short, long = sorted((one, other))
    per = cable.per_metre(area)
    assert cable.drop(4, per, short, degrees) <= cable.drop(4, per, long, degrees)


@given(st.floats(7, 15), st.floats(7, 15))
def test_more_volts_more_light_less_life(one: float, other: float) -> None:
    """Light and current rise with voltage, life falls."""
    low, high = sorted((one, other))
    assert filament.light_share(low, 13.2) <= filament.light_share(high, 13.2)
    assert filament.current(HEADLAMP, low) <= filament.current(HEADLAMP, high)
    assert filament.life_share(low, 13.2) >= filament.life_share(high, 13.2)


def test_cold_filament_reads_near_zero() -> None:
    """A good cold headlamp filament is a few tenths of an ohm, which is no short."""
    low, high = filament.cold_resistance(HEADLAMP)
    assert 0.15 < low < high < 0.5


def test_inrush_falls_with_circuit_resistance() -> None:
    """A tenth of an ohm in the circuit takes a good part off the first rush."""
    assert filament.inrush(HEADLAMP, 13.2, 0.1) < 0.7 * filament.inrush(HEADLAMP, 13.2)


@pytest.mark.parametrize("volts", [0.5, 30, math.nan])
def test_voltages_no_lamp_sees_are_refused(volts: float) -> None:
    """Outside the law's range an error says what is accepted."""
    with pytest.raises(ValueError, match="must lie between"):
        filament.current(HEADLAMP, volts)


def test_ballast_on_a_thin_long_feed_collapses_on_strike() -> None:
    """0.5 mm2, 6 m there and back: no strike, though it could have gone on burning."""
    ohms = cable.resistance(0.0371, 12)
    outlook = dict(ballast.strike_outlook(ballast.BALLASTS[35], 12.4, ohms))
    assert not outlook["strike"].holds
    assert "110 W are asked" in outlook["strike"].why
    assert outlook["steady burning"].holds


def test_ballast_on_a_sound_feed_works_in_every_phase() -> None:
    """3 m of 2.5 mm2 feeds it with a fraction of a volt lost."""
    outlook = ballast.strike_outlook(ballast.BALLASTS[35], 12.6, cable.resistance(0.0076, 6))
    assert all(point.holds for _, point in outlook)
    assert dict(outlook)["steady burning"].current == pytest.approx(3.6, abs=0.2)


def test_floor_voltage_fails_before_the_feed_does() -> None:
    """With roots still there, a ballast under its floor gives up, and the reason says so."""
    point = ballast.operate(12.0, 0.28, 110, floor=9.0)
    assert ballast.roots(12.0, 0.28, 110) is not None
    assert not point.holds
    assert "under its floor" in point.why


@given(st.floats(9, 15), st.floats(1e-6, 2), st.floats(5, 200))
def test_both_roots_deliver_the_power(supply: float, ohms: float, watts: float) -> None:
    """At either root, volts at the load times current is the power asked for."""
    pair = ballast.roots(supply, ohms, watts)
    assume(pair is not None)
    assert pair is not None
    small, large = pair
    assert small <= large
    assert (supply - ohms * small) * small == pytest.approx(watts, rel=1e-6)
    assert (supply - ohms * large) * large == pytest.approx(watts, rel=1e-4, abs=1e-4)


@given(st.floats(9.5, 15), st.floats(5, 200), st.floats(1, 9))
def test_largest_resistance_is_the_edge(supply: float, watts: float, floor: float) -> None:
    """Just under the largest resistance the load holds; just over, it does not."""
    edge = ballast.largest_resistance(supply, watts, floor)
    assume(edge < 15)
    assert ballast.operate(supply, edge * 0.999, watts, floor).holds
    assert not ballast.operate(supply, edge * 1.001, watts, floor).holds


@given(st.floats(1, 30), st.floats(0.01, 1))
def test_average_never_above_effective(volts: float, duty: float) -> None:
    """A meter that averages never shows more than what does the work, and the two turn into each other."""
    shown, real = pwm.averaged(volts, duty), pwm.effective(volts, duty)
    assert shown <= real + 1e-12 <= volts + 1e-9
    assert pwm.effective_from_average(shown, volts) == pytest.approx(real)
    assert pwm.duty_for(real, volts) == pytest.approx(duty)


def test_averaged_drop_hides_the_true_one() -> None:
    """0.2 V shown at a quarter of the time on is 0.8 V while current flows."""
    assert pwm.drop_while_on(0.2, 0.25) == pytest.approx(0.8)


RATINGS = st.sampled_from([2, 3, 5, 7.5, 10, 15, 20, 30])


@given(st.floats(0, 300), RATINGS, RATINGS)
def test_a_bigger_fuse_never_opens_sooner(current: float, one: float, other: float) -> None:
    """On the same current the bigger fuse has neither the sooner nor the earlier latest time."""
    small, big = sorted((one, other))
    first, second = fuse.opening_time(small, current, GATES), fuse.opening_time(big, current, GATES)
    assert first.shortest <= second.shortest * (1 + 1e-12)
    assert first.longest <= second.longest * (1 + 1e-12)


@given(st.floats(0, 300), st.floats(0, 300))
def test_more_current_never_opens_later(one: float, other: float) -> None:
    """On the same fuse the larger current has neither the later soonest nor the later latest time."""
    low, high = sorted((one, other))
    assert fuse.opening_time(10, high, GATES).shortest <= fuse.opening_time(10, low, GATES).shortest * (1 + 1e-12)
    assert fuse.opening_time(10, high, GATES).longest <= fuse.opening_time(10, low, GATES).longest * (1 + 1e-12)


def test_a_fuse_that_carries_the_lamp_need_never_open() -> None:
    """4.2 A through 10 A: carried, no latest time."""
    assert fuse.carries(10, 4.2) == "yes"
    assert math.isinf(fuse.opening_time(10, 4.2, GATES).longest)


@pytest.mark.parametrize(("amps", "word"), [(7.5, "yes"), (9, "barely"), (11, "barely"), (11.1, "no")])
def test_carrying_is_graded(amps: float, word: str) -> None:
    """Up to three quarters yes, up to a tenth over barely, beyond no."""
    assert fuse.carries(10, amps) == word


def test_disorderly_gates_are_refused() -> None:
    """Gates whose times rise with the current cannot be."""
    with pytest.raises(ValueError, match="open no later"):
        fuse.check_gates([fuse.Gate(1.35, 0.75, 600), fuse.Gate(2.0, 0.9, 5)])


def test_charging_battery_tells_nothing_of_its_charge() -> None:
    """14 V is not a voltage at rest."""
    with pytest.raises(ValueError, match="at rest"):
        battery.charge_at_rest(14.0)
