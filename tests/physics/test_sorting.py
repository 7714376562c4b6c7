"""Readings become the figures that questions compare, with the working shown."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.physics.computed import GIVEN, Computed
from engine.physics.sorting import COMPUTATIONS


def compute(name: str, reading: float, **given: float) -> Computed:
    """A computation by name, givens with underscores for hyphens."""
    return COMPUTATIONS[name](reading, {key.replace("_", "-"): value for key, value in given.items()})


@pytest.mark.parametrize(
    ("name", "reading", "given", "value"),
    [
        ("as-read", 11.2, {}, 11.2),
        ("lost-from-battery", 10.9, {"battery_volts": 12.4}, 1.5),
        ("share-of-expected-current", 2.9, {"lamp_volts": 12.6}, 0.714),
        ("share-of-ballast-current", 3.4, {"source_watts": 35, "running_volts": 13.2}, 0.997),
        ("share-of-light", 10.9, {"battery_volts": 12.4}, 0.645),
        ("feed-resistance", 10.9, {"open_volts": 12.4}, 0.40),
        ("feed-resistance", 10.9, {"open_volts": 12.4, "circuit_amps": 3.0}, 0.50),
        ("loss-at-the-lamp", 10.9, {"open_volts": 12.4}, 0.121),
        ("loss-at-the-lamp", 10.9, {"open_volts": 12.4, "running_volts": 14.2}, 0.2324),
        ("loss-at-the-lamp", 13.9, {"open_volts": 12.4}, 0.0),
        ("share-arriving", 12.4, {"battery_volts": 12.5}, 0.992),
        ("drop-beyond-wire", 0.9, {"circuit_amps": 4.5, "wire_length": 0}, 0.2),
        ("drop-beyond-wire", 0.4, {"circuit_amps": 4.0, "wire_length": 4, "wire_section": 1.5e-6}, 0.04943),
        ("drop-beyond-contact", 0.44, {"circuit_amps": 4.0}, 0.1),
        ("drop-beyond-fuse", 0.1308, {"circuit_amps": 4.0}, 0.025),
        ("volts-at-strike", 8.9, {"battery_volts": 12.4, "strike_watts": 110}, 8.9),
        ("aim-in-band", 0.012, {}, 0.35),
        ("aim-in-band", 0.0, {"fall_least": 0.01, "fall_most": 0.03}, -0.5),
        ("fuse-current", 0.0308, {"fuse_ohms": 0.0077}, 4.0),
        ("fuse-load", 8, {"fuse_rating": 10}, 0.8),
        ("cold-filament", 0.3168, {}, 1.0),
        ("battery-charge", 12.24, {}, 0.5),
        ("aim-offset", 0.50, {"mounting_height": 0.65, "distance": 10, "aim_target": -0.012}, -0.3),
        ("mist-margin", 9.255, {"air_temperature": 20, "humidity": 0.5}, 0.0),
        ("effective-volts", 3.15, {"battery_volts": 12.6}, 6.3),
    ],
)
def test_a_reading_becomes_its_figure(name: str, reading: float, given: dict[str, float], value: float) -> None:
    """Figures worked out by hand."""
    assert compute(name, reading, **given).value == pytest.approx(value, rel=2e-3, abs=2e-3)


def test_working_shows_expected_measured_and_verdict() -> None:
    """The lines carry the numbers a person needs to follow."""
    (line,) = compute("share-of-expected-current", 2.9, running_volts=12.6).lines
    for part in ("expected 4.06 A", "12.6 V", "55 W", "measured 2.9 A", "71 % of it"):
        assert part in line


def test_run_up_takes_the_worse_of_the_limits() -> None:
    """For a 2000 lm source the 1 s limit can be missed while the 4 s limit is met."""
    found = compute("run-up-share", 20, objective_flux=2000)
    assert found.value < 1
    assert "missed" in found.lines[0]
    assert "met" in found.lines[1]


def test_every_computation_works_on_defaults_and_yields_a_figure() -> None:
    """With nothing given, an ordinary reading gives a finite figure."""
    readings = {
        "battery-charge": 12.5,
        "fuse-current": 0.03,
        "cold-filament": 0.3,
        "aim-offset": 0.5,
        "aim-in-band": 0.012,
    }
    for name, function in COMPUTATIONS.items():
        assert math.isfinite(function(readings.get(name, 4.0), {}).value), name


def test_ids_can_stand_in_a_knowledge_file() -> None:
    """Names of computations and givens are ids: small letters, digits, hyphens."""
    for name in (*COMPUTATIONS, *GIVEN):
        assert name.replace("-", "").isalnum() and name == name.lower()


@given(
    st.sampled_from(sorted(COMPUTATIONS)),
    st.floats(allow_nan=False),
    st.dictionaries(st.sampled_from(sorted(GIVEN)), st.floats(-1e3, 1e5, allow_nan=False), max_size=4),
)
def test_anything_typed_gives_a_figure_or_a_sentence(name: str, reading: float, told: dict[str, float]) -> None:
    """Whatever the numbers, a computation answers with a figure or a ValueError in words, never otherwise."""
    try:
        found = COMPUTATIONS[name](reading, told)
    except ValueError as problem:
        assert len(str(problem)) > 20
    else:
        assert not math.isnan(found.value)


def test_impossible_readings_are_refused_in_words() -> None:
    """A reading outside what can be computed raises a sentence, not a wrong figure."""
    with pytest.raises(ValueError, match="must lie between"):
        compute("share-of-light", 0.2, battery_volts=12.4)
