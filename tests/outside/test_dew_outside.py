"""Dew and mist set beside libraries of humid air. Each check names its source."""

from __future__ import annotations

import pytest

from engine.physics import dew

AIR = [(20, 0.5), (25, 0.6), (30, 0.8), (10, 0.9), (35, 0.4), (15, 0.7)]


@pytest.mark.outside("psychrolib GetTDewPointFromRelHum (ASHRAE formulas)")
@pytest.mark.parametrize(("temperature", "humidity"), AIR)
def test_dew_point_against_psychrolib(temperature: float, humidity: float) -> None:
    """Within 0.05 K up to 40 C."""
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    expected = psychrolib.GetTDewPointFromRelHum(temperature, humidity)
    assert dew.dew_point(temperature, humidity) == pytest.approx(expected, abs=0.05)


@pytest.mark.outside("CoolProp HAPropsSI, dew point of humid air")
@pytest.mark.parametrize(("temperature", "humidity"), AIR)
def test_dew_point_against_coolprop(temperature: float, humidity: float) -> None:
    """Within 0.05 K up to 40 C."""
    coolprop = pytest.importorskip("CoolProp.HumidAirProp")
    expected = coolprop.HAPropsSI("D", "T", temperature + 273.15, "R", humidity, "P", 101325) - 273.15
    assert dew.dew_point(temperature, humidity) == pytest.approx(expected, abs=0.05)


@pytest.mark.outside("CoolProp: density of saturated water vapour (IAPWS-95)")
@pytest.mark.parametrize("temperature", [5, 20, 40])
def test_vapour_density_against_coolprop(temperature: float) -> None:
    """Water in saturated air as an ideal gas, within 0.6 per cent (real vapour is a little denser)."""
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    expected = coolprop.PropsSI("D", "T", temperature + 273.15, "Q", 1, "Water")
    assert dew.vapour_density(temperature) == pytest.approx(expected, rel=0.006)


@pytest.mark.outside("WMO Magnus formula, public page (read)")
@pytest.mark.parametrize(("temperature", "hectopascal"), [(0, 6.112), (10, 12.260), (20, 23.326), (30, 42.34)])
def test_saturation_pressure(temperature: float, hectopascal: float) -> None:
    """The formula's own values."""
    assert dew.saturation_pressure(temperature) == pytest.approx(hectopascal * 100, rel=5e-4)
