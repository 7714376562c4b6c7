"""What people type becomes the program's own numbers, or an answer that says what is accepted."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.physics import units

ORDINARY = st.floats(min_value=-1e4, max_value=1e4, allow_nan=False)


@pytest.mark.parametrize(
    ("typed", "default", "value"),
    [
        ("11.2", "V", 11.2),
        ("11,2 V", "V", 11.2),
        ("11200 mV", "V", 11.2),
        ("11.2V", "mV", 11.2),
        ("3.1 A", "A", 3.1),
        ("0.4 ohm", "ohm", 0.4),
        ("400 mΩ", "ohm", 0.4),
        ("6 s", "s", 6.0),
        ("2 min", "s", 120.0),
        ("-1.2 %", "%", -0.012),
        ("\N{MINUS SIGN}1,2%", "%", -0.012),
        ("35 in", "cm", 0.889),
        ('35"', "cm", 0.889),
        ("+.5", "V", 0.5),
        ("0,250 ohm", "ohm", 0.25),
        ("41 °F", "C", 5.0),
        ("  12\N{NO-BREAK SPACE}V ", "V", 12.0),
        ("1.5 mm²", "mm2", 1.5e-6),
    ],
)
def test_typed_readings_are_understood(typed: str, default: str, value: float) -> None:
    """Units, commas, signs and spaces as people write them give the same value."""
    assert units.parse(typed, default) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("typed", ["AWG 16", "16 AWG", "awg#16"])
def test_wire_gauge_is_a_section(typed: str) -> None:
    """A gauge may stand where a section is asked."""
    assert units.parse(typed, "mm2") == pytest.approx(1.309e-6, rel=1e-3)


@pytest.mark.parametrize("typed", ["", "volts", "12..3", "1.200.000", "--3", "nan", "inf", "1e3", "12 12", "12 V V"])
def test_what_is_no_reading_is_refused_with_the_units(typed: str) -> None:
    """Nonsense is refused, and the answer names the units that would do."""
    with pytest.raises(ValueError, match="Units: V, mV, kV"):
        units.parse(typed, "V")


def test_a_reading_of_the_wrong_kind_is_named() -> None:
    """Amps where volts are asked are refused by name, not converted."""
    with pytest.raises(ValueError, match="A measures current; this takes a voltage"):
        units.parse("3 A", "V")


def test_a_comma_that_can_be_read_two_ways_is_asked_back() -> None:
    """11,200 could be eleven or eleven thousand."""
    with pytest.raises(ValueError, match="two ways"):
        units.parse("11,200", "mV")


def test_case_is_forgiven_only_where_one_unit_can_be_meant() -> None:
    """`mv` is millivolts; `MOHM` could be a thousandth or a million, so it is refused."""
    assert units.parse("500 mv", "V") == 0.5
    with pytest.raises(ValueError, match="MOHM"):
        units.parse("5 MOHM", "ohm")


@given(ORDINARY, st.sampled_from(sorted(set(units.UNITS) - {"AWG", "deg"})))
def test_out_and_in_again_loses_nothing(value: float, symbol: str) -> None:
    """Converting to a unit and back gives the value, to rounding of the last bits."""
    unit = units.UNITS[symbol]
    assert unit.inward(unit.outward(value)) == pytest.approx(value, rel=1e-12, abs=1e-10)


@given(st.floats(min_value=0, max_value=30))
def test_gauge_out_and_in_again(gauge: float) -> None:
    """A gauge turned into a section and back is the gauge."""
    unit = units.UNITS["AWG"]
    assert unit.outward(unit.inward(gauge)) == pytest.approx(gauge, abs=1e-9)


@given(st.floats(min_value=-8, max_value=8))
def test_degrees_out_and_in_again(degrees: float) -> None:
    """An angle turned into a slope and back is the angle."""
    unit = units.UNITS["deg"]
    assert unit.outward(unit.inward(degrees)) == pytest.approx(degrees, abs=1e-9)


@given(st.floats(min_value=0.001, max_value=9999), st.sampled_from(["V", "mV", "A", "ohm", "cm", "in", "s", "lm"]))
def test_what_is_shown_can_be_typed_again(value: float, symbol: str) -> None:
    """A shown value parses back to within its three figures."""
    inside = units.UNITS[symbol].inward(value)
    assert units.parse(units.show(inside, symbol), symbol) == pytest.approx(inside, rel=0.006)


@pytest.mark.parametrize(("seconds", "words"), [(0.02, "20 ms"), (6, "6 s"), (600, "10 min"), (360000, "100 h")])
def test_times_read_naturally(seconds: float, words: str) -> None:
    """A time is shown in the unit that reads best."""
    assert units.show_time(seconds) == words


def test_no_end_is_said_in_words() -> None:
    """An infinite time is not shown as a number."""
    assert units.show_time(math.inf) == "no limit"
