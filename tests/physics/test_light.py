"""Run-up, colour, aim and dew: the laws they keep and the cases they must get right."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.physics import aim, colour, dew, runup

STEP = aim.Step(0.8, (-0.015, -0.010), (-0.025, -0.005))


@given(st.floats(0.2, 300))
def test_light_only_rises_and_is_full_when_said(full_after: float) -> None:
    """The modelled run-up rises and reaches what an eye calls full at the time given."""
    shares = [runup.share_at(full_after * part, full_after) for part in (0, 0.25, 0.5, 1, 2)]
    assert shares == sorted(shares)
    assert shares[0] == pytest.approx(runup.FIRST_LIGHT)
    assert shares[3] == pytest.approx(runup.FULL)


@given(st.floats(0.2, 300), st.sampled_from([1500.0, 2000.0, 3200.0]))
def test_slowest_run_up_is_the_edge_of_passing(full_after: float, flux: float) -> None:
    """A source passes just when it is full no later than the slowest that passes."""
    slowest = min(runup.slowest_full(limit) for limit in runup.limits(flux))
    if abs(full_after - slowest) > 1e-6:
        assert all(judged.met for judged in runup.judge(full_after, flux)) == (full_after < slowest)


def test_hot_restrike_needs_light_at_once() -> None:
    """Relit within a second at full light passes; three seconds or half the light does not; a minute off is no test."""
    assert runup.restrike_met(10, 0.4)
    assert not runup.restrike_met(10, 3)
    assert not runup.restrike_met(10, 0.4, 0.5)
    with pytest.raises(ValueError, match="hot restrike"):
        runup.restrike_met(60, 0.4)


@pytest.mark.parametrize(
    ("xy", "words"),
    [((0.375, 0.375), ()), ((0.33, 0.34), ("blue",)), ((0.42, 0.39), ("yellow",)), ((0.37, 0.41), ("green",)),
     ((0.38, 0.32), ("purple",)), ((0.30, 0.22), ("blue", "purple"))],
)  # fmt: skip
def test_a_colour_outside_white_is_named(xy: colour.Xy, words: tuple[str, ...]) -> None:
    """The edges crossed carry the colour's name."""
    assert colour.beyond(xy, colour.SOURCE_WHITE) == words


def test_white_of_road_lamps_turns_red_at_its_yellow_end() -> None:
    """Beyond the corner at x = 0.443 the lower edge is level: 0.39 is white, 0.37 is red."""
    assert colour.beyond((0.46, 0.39), colour.ROAD_WHITE) == ()
    assert colour.beyond((0.46, 0.37), colour.ROAD_WHITE) == ("red",)


@pytest.mark.parametrize(
    ("after", "words"),
    [((0.375, 0.375), ()), ((0.355, 0.362), ("bluer",)), ((0.395, 0.388), ("yellower",)), ((0.376, 0.360), ("pinker",)),
     ((0.374, 0.390), ("greener",)), ((0.355, 0.345), ("bluer", "pinker"))],
)  # fmt: skip
def test_a_shift_is_named(after: colour.Xy, words: tuple[str, ...]) -> None:
    """From the middle of white, a shift is told by its two directions."""
    assert colour.shift((0.375, 0.375), after) == words


def test_colours_that_cannot_be_are_refused() -> None:
    """x and y that add to more than one, and a deep red without a colour temperature."""
    with pytest.raises(ValueError, match="more than 1"):
        colour.beyond((0.6, 0.6), colour.SOURCE_WHITE)
    with pytest.raises(ValueError, match="too far from white"):
        colour.colour_temperature((0.70, 0.29))


@pytest.mark.parametrize(
    ("kelvin", "word"), [(2400, "orange"), (3200, "yellowish white"), (4300, "white"), (8000, "bluish")]
)
def test_light_is_named_by_its_temperature(kelvin: float, word: str) -> None:
    """Plain words along the line of whites."""
    assert colour.look(kelvin) == word


@given(st.floats(0.3, 2), st.floats(2, 30), st.floats(-0.03, 0.0))
def test_height_and_slope_turn_into_each_other(mounting: float, distance: float, slope: float) -> None:
    """The cut-off drawn for a slope, measured, gives that slope."""
    height = aim.cutoff_height(mounting, distance, slope)
    if height >= 0:
        assert aim.inclination(mounting, distance, height) == pytest.approx(slope, abs=1e-12)


def test_a_beam_is_judged_with_way_and_distance() -> None:
    """Cut-off 3 cm over the lamp's own height minus 1 % at 10 m: 3 cm too high, still within limits."""
    offset = aim.judge(aim.inclination(0.65, 10, 0.58), -0.010, STEP.limits, 10)
    assert (offset.way, offset.inside) == ("up", True)
    assert offset.height == pytest.approx(0.03)
    assert not aim.judge(0.001, -0.010, STEP.limits, 10).inside


def test_a_rule_that_does_not_reach_says_so() -> None:
    """No step for a lamp higher than the last."""
    with pytest.raises(ValueError, match="says nothing"):
        aim.step_for([STEP], 0.9)


def test_level_beam_never_meets_the_road() -> None:
    """Reach exists only for a beam that falls."""
    assert aim.reach(0.65, -0.01) == pytest.approx(65)
    with pytest.raises(ValueError, match="never meets"):
        aim.reach(0.65, 0.0)


@given(st.floats(-20, 45), st.floats(0.05, 1))
def test_dew_point_is_never_above_the_air(temperature: float, humidity: float) -> None:
    """Air must cool to mist; and air at its dew point is saturated with what it holds."""
    dew_point = dew.dew_point(temperature, humidity)
    assert dew_point <= temperature + 1e-9
    if dew_point >= -40:
        expected = humidity * dew.saturation_pressure(temperature)
        assert dew.saturation_pressure(dew_point) == pytest.approx(expected, rel=1e-9)


def test_mist_is_expected_on_a_clear_cold_night_after_a_damp_day() -> None:
    """15 C at 70 % by day, 5 C by night: mist. 25 C at 30 %, 15 C: none."""
    assert dew.outlook(15, 0.7, 5).mist
    assert not dew.outlook(25, 0.3, 15).mist


def test_fine_mist_clears_in_half_an_hour_lit_and_hours_unlit() -> None:
    """Common practice: a fine mist goes in 20 to 30 minutes with the lamps on, much more slowly without."""
    water = dew.water_on_lens(0.1)
    lit = dew.clearing_time(water, 5 + dew.LAMP_WARMING, 5, 1.0)
    unlit = dew.clearing_time(water, 15, 15, 0.7)
    assert 20 * 60 <= lit <= 30 * 60
    assert unlit > 3 * lit


def test_saturated_air_clears_nothing() -> None:
    """Fog outside and a lens no warmer: it never clears."""
    assert math.isinf(dew.clearing_time(0.001, 10, 10, 1.0))


@given(st.floats(1e-6, 1e-3), st.floats(1e-6, 1e-3))
def test_more_ventilation_never_takes_longer(one: float, other: float) -> None:
    """The larger flow clears no later."""
    low, high = sorted((one, other))
    assert dew.clearing_time(0.001, 20, 10, 0.8, high) <= dew.clearing_time(0.001, 20, 10, 0.8, low)
