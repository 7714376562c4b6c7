"""Blade fuses set beside data sheets and standards. Each check names its source."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import interpolate

from engine.physics import fuse
from engine.tables import Tables

FUSE_SHEET = "makers' data sheets of standard blade fuses (read)"


@pytest.mark.outside(FUSE_SHEET)
@pytest.mark.parametrize(("percent", "shortest", "longest"), [(135, 0.75, 600), (160, 0.25, 50), (200, 0.15, 5)])
def test_fuse_gates(tables: Tables, percent: float, shortest: float, longest: float) -> None:
    """At a gate the band is the gate's."""
    band = fuse.opening_time(10, percent / 10, tables.fuse_types["standard"].times)
    assert (band.shortest, band.longest) == (pytest.approx(shortest), pytest.approx(longest))


@pytest.mark.outside("ISO 8820-3 / SAE J1284 (from memory)")
@pytest.mark.parametrize(("percent", "shortest", "longest"), [(350, 0.08, 0.5), (600, 0.03, 0.1)])
def test_fuse_gates_on_a_hard_fault(tables: Tables, percent: float, shortest: float, longest: float) -> None:
    """Three and a half, and six times the rating."""
    band = fuse.opening_time(15, 15 * percent / 100, tables.fuse_types["standard"].times)
    assert (band.shortest, band.longest) == (pytest.approx(shortest), pytest.approx(longest))


@pytest.mark.outside(FUSE_SHEET)
def test_fuse_holds_a_tenth_over_its_rating(tables: Tables) -> None:
    """110 % is held for 100 hours and need never open."""
    band = fuse.opening_time(10, 11, tables.fuse_types["standard"].times)
    assert band.shortest == pytest.approx(100 * 3600)
    assert math.isinf(band.longest)


@pytest.mark.outside("scipy.interpolate on log-log axes")
def test_fuse_between_gates_against_a_library(tables: Tables) -> None:
    """Between gates the band follows straight lines on log-log paper."""
    gates = tables.fuse_types["standard"].times[1:]
    x = np.log([gate.multiple for gate in gates])
    latest = interpolate.make_interp_spline(x, np.log([gate.longest for gate in gates]), k=1)
    for multiple in (1.4, 1.7, 2.5, 3.0, 5.0):
        band = fuse.opening_time(10, 10 * multiple, gates)
        assert band.longest == pytest.approx(float(np.exp(latest(math.log(multiple)))), rel=1e-9)


@pytest.mark.outside("public colour table of blade fuses naming DIN 72581 (read)")
def test_fuse_colours(tables: Tables) -> None:
    """The printed number and the colour agree."""
    known = {"3": "violet", "5": "tan", "7.5": "brown", "10": "red", "15": "blue", "20": "yellow", "30": "green"}
    assert {key: tables.fuses[key].colour for key in known} == known


@pytest.mark.outside("typical cold resistance of a 10 A blade fuse, 7.70 mohm (from memory)")
def test_drop_over_a_headlamp_fuse(tables: Tables) -> None:
    """A 55 W lamp over a sound 10 A fuse shows 20 to 60 mV, and that reads back as its current within a third."""
    cold = tables.fuses["10"].cold_milliohm
    assert cold is not None
    assert 20 < 4.4 * cold < 60
    assert fuse.current_from_drop(0.034, cold / 1e3) == pytest.approx(4.4, rel=0.01)


@pytest.mark.outside("data sheet of a 40 A large blade fuse: 75 mV at rating, 1.4 mohm cold (read)")
def test_hot_fuse_reads_a_third_high() -> None:
    """Current from a hot fuse's drop is high by about a third, as documented."""
    assert 1.2 < fuse.current_from_drop(0.075, 0.0014) / 40 < 1.4
