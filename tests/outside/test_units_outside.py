"""Units set beside a library of units. Each check names its source."""

from __future__ import annotations

import pytest

from engine.physics import units

PINT_NAMES = {"C": "degC", "F": "degF", "K": "kelvin", "mm2": "mm**2", "in": "inch", "ft": "foot", "%": "percent",
              "lm": "lumen", "mohm": "milliohm", "kohm": "kiloohm", "Mohm": "megaohm"}  # fmt: skip
INSIDE = {"voltage": "V", "current": "A", "resistance": "ohm", "power": "W", "time": "s", "length": "m",
          "section": "m**2", "light": "lumen", "share": "dimensionless", "temperature": "degC"}  # fmt: skip


@pytest.mark.outside("pint, default registry")
@pytest.mark.parametrize("symbol", sorted(set(units.UNITS) - {"AWG", "deg"}))
@pytest.mark.parametrize("number", [0.5, 11.2, 350.0])
def test_units_against_pint(symbol: str, number: float) -> None:
    """Each unit of the closed table converts as the library does."""
    pint = pytest.importorskip("pint")
    unit = units.UNITS[symbol]
    registry = pint.UnitRegistry()
    expected = registry.Quantity(number, PINT_NAMES.get(symbol, symbol)).to(INSIDE[unit.dimension]).magnitude
    assert unit.inward(number) == pytest.approx(expected, rel=1e-9)
