"""Ballast, run-up, pulsed feed and battery set beside published figures and libraries. Each check names its source."""

from __future__ import annotations

import numpy as np
import pytest

from engine.physics import ballast, battery, pwm, runup
from engine.tables import Tables

R99 = "UN R99 (from memory)"
REST = "public table of rest voltage against charge at 27 C (read)"


@pytest.mark.outside("numpy.roots of R I^2 - E I + P")
@pytest.mark.parametrize(
    ("supply", "ohms", "watts"), [(12.4, 0.3, 90), (13.2, 0.05, 45), (10.0, 0.2, 110), (12.0, 1e-5, 45)]
)
def test_ballast_roots_against_a_library(supply: float, ohms: float, watts: float) -> None:
    """Both roots of the constant-power load."""
    pair = ballast.roots(supply, ohms, watts)
    assert pair is not None
    assert sorted(np.roots([ohms, -supply, watts]).real) == pytest.approx(sorted(pair), rel=1e-9)


@pytest.mark.outside("trade pages: 35 W ballast draws 8 to 9 A at the start, 3 to 5 A settled (read)")
def test_ballast_currents() -> None:
    """On a sound feed at 12.8 V the model draws what the trade measures."""
    found = dict(ballast.strike_outlook(ballast.BALLASTS[35], 12.8, 0.05))
    assert 8 <= found["strike"].current <= 9.1
    assert 3 <= found["steady burning"].current <= 5


@pytest.mark.outside("UN R99 / R.E.5 sheet D5S: input at most 31 W at 13.2 V (from memory)")
def test_25_watt_input(tables: Tables) -> None:
    """The 25 W ballast settles at no more than that, 2.2 to 2.6 A."""
    settled = ballast.operate(13.2, 0.05, ballast.BALLASTS[25].steady_watts)
    assert tables.light_sources["D5S"].output().most_watts == 31
    assert 2.2 <= settled.current <= 2.6


@pytest.mark.outside("ISO 16750-2 supply code C, 9 to 16 V (2010 edition, table 1; read)")
def test_ballast_floor_is_a_supply_code() -> None:
    """The floor assumed is the lower end of a standard supply range."""
    assert {kind.floor_volts for kind in ballast.BALLASTS.values()} == {9.0}


@pytest.mark.outside(f"{R99}, 3.6.2")
def test_run_up_limits_over_2000_lm() -> None:
    """A quarter after one second, four fifths after four."""
    assert [(limit.after, limit.share) for limit in runup.limits(3200)] == [(1.0, 0.25), (4.0, 0.80)]


@pytest.mark.outside(f"{R99}, 3.6.2, sources up to 2000 lm")
def test_run_up_limits_up_to_2000_lm() -> None:
    """800 lm after one second, 1000 lm after four."""
    assert [limit.share * 2000 for limit in runup.limits(2000)] == [800, 1000]


@pytest.mark.outside("numpy: root mean square and mean of a sampled rectangular wave")
@pytest.mark.parametrize("duty", [0.1, 0.5, 0.85])
def test_pulses_against_samples(duty: float) -> None:
    """Average and effective value of the wave itself."""
    wave = np.where(np.linspace(0, 1, 100_000, endpoint=False) < duty, 12.6, 0.0)
    assert pwm.averaged(12.6, duty) == pytest.approx(float(wave.mean()), rel=1e-4)
    assert pwm.effective(12.6, duty) == pytest.approx(float(np.sqrt((wave**2).mean())), rel=1e-4)


@pytest.mark.outside(REST)
@pytest.mark.parametrize(("volts", "charge"), [(12.65, 1.0), (12.45, 0.75), (12.24, 0.5), (12.06, 0.25), (11.89, 0.0)])
def test_rest_volts(volts: float, charge: float) -> None:
    """The table's own points."""
    assert battery.charge_at_rest(volts) == pytest.approx(charge)
