"""The colour of the light set beside regulations and a library of colour science. Each check names its source."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest

from engine.physics import colour, filament

HANDBOOK = "Fink & Beaty, Standard Handbook for Electrical Engineers, p. 22-8, cited by an encyclopaedia (read)"
R99 = "UN R99 (from memory)"


@pytest.mark.outside(f"{R99}: corners of the white field, from its edges")
@pytest.mark.parametrize("corner", [(0.345, 0.371), (0.405, 0.409), (0.405, 0.354), (0.345, 0.309)])
def test_white_field_corners(corner: colour.Xy) -> None:
    """A corner drawn a little to the middle is inside, a little away from it outside."""
    x, y = corner
    inward = (x + (0.375 - x) * 0.03, y + (0.361 - y) * 0.03)
    outward = (x - (0.375 - x) * 0.03, y - (0.361 - y) * 0.03)
    assert colour.beyond(inward, colour.SOURCE_WHITE) == ()
    assert colour.beyond(outward, colour.SOURCE_WHITE) != ()


@pytest.mark.outside(f"{R99}: objective colour x = y = 0.375")
def test_objective_colour_is_white() -> None:
    """The aim of the regulation is white by both fields, and looks white."""
    assert colour.beyond((0.375, 0.375), colour.SOURCE_WHITE) == ()
    assert colour.beyond((0.375, 0.375), colour.ROAD_WHITE) == ()
    assert colour.look(colour.colour_temperature((0.375, 0.375))) == "white"


@pytest.fixture(scope="module")
def science() -> Any:
    """The colour-science package, whose import warns of missing plotting."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return pytest.importorskip("colour")


@pytest.mark.outside("colour-science: xy_to_CCT, McCamy 1992")
@pytest.mark.parametrize("xy", [(0.375, 0.375), (0.4476, 0.4074), (0.3127, 0.3290), (0.36, 0.34)])
def test_colour_temperature_against_a_library(science: Any, xy: colour.Xy) -> None:
    """The same cubic."""
    expected = science.temperature.xy_to_CCT(np.array(xy), method="McCamy 1992")
    assert colour.colour_temperature(xy) == pytest.approx(float(expected), rel=1e-6)


@pytest.mark.outside("CIE standard illuminants A (2856 K) and D65 (6504 K)")
@pytest.mark.parametrize(("xy", "kelvin"), [((0.44757, 0.40745), 2856), ((0.31271, 0.32902), 6504)])
def test_colour_temperature_of_standard_illuminants(xy: colour.Xy, kelvin: float) -> None:
    """Two whose temperature is defined."""
    assert colour.colour_temperature(xy) == pytest.approx(kelvin, rel=0.003)


@pytest.mark.outside("colour-science: black-body spectrum integrated over the CIE 1931 observer")
@pytest.mark.parametrize("kelvin", [2000, 2856, 3200, 4200, 6500])
def test_glowing_body_against_its_spectrum(science: Any, kelvin: float) -> None:
    """The fitted line of whites lies within 0.001 of Planck's law."""
    spectrum = science.sd_blackbody(kelvin)
    xyz = science.sd_to_XYZ(spectrum)
    expected = science.XYZ_to_xy(xyz / 100)
    assert colour.glowing_body(kelvin) == pytest.approx(tuple(expected), abs=1e-3)


@pytest.mark.outside(f"colour-science black body with {HANDBOOK}")
def test_an_under_run_filament_shifts_yellow(science: Any) -> None:
    """3200 K at 13.2 V sinks by 8 % at 10.9 V, which by the library's own line of whites is a shift to yellow."""
    low = filament.colour_temperature(3200, 10.9, 13.2)
    points = [science.temperature.CCT_to_xy(k, method="Kang 2002") for k in (3200, low)]
    before, after = (tuple(map(float, point)) for point in points)
    assert low == pytest.approx(3200 * 0.923, rel=0.002)
    assert "yellower" in colour.shift(before, after)  # type: ignore[arg-type]  # two floats each
