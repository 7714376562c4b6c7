"""Cables and feeds set beside published tables. Each check names its source."""

from __future__ import annotations

import pytest

from engine.physics import cable, feed, filament
from engine.tables import Tables

HANDBOOK = "Fink & Beaty, Standard Handbook for Electrical Engineers, p. 22-8, cited by an encyclopaedia (read)"
ISO_6722 = "public cable table stating ISO 6722, most mohm/m at 20 C (read)"


@pytest.mark.outside(f"{ISO_6722}; ideal copper 17.241 ohm mm2/km (NBS Handbook 100, read)")
@pytest.mark.parametrize(
    ("size", "most"),
    [("0.35", 54.4), ("0.5", 37.1), ("0.75", 24.7), ("1", 18.5), ("1.5", 12.7), ("2", 9.42), ("2.5", 7.60), ("3", 6.15),
     ("4", 4.71), ("6", 3.14)],
)  # fmt: skip
def test_road_vehicle_cable(tables: Tables, size: str, most: float) -> None:
    """The row is the published limit, and ideal copper of that section lies 6 to 11 % below it."""
    row = tables.cables[size]
    assert row.milliohm == most
    assert 1.06 < row.per_metre / cable.per_metre(row.area) < 1.11


@pytest.mark.outside("IEC 60228 class 5, plain copper, public table (read)")
@pytest.mark.parametrize(
    ("size", "most"), [("0.5", 39.0), ("0.75", 26.0), ("1", 19.5), ("1.5", 13.3), ("2.5", 7.98), ("4", 4.95)]
)
def test_flexible_cable(tables: Tables, size: str, most: float) -> None:
    """Class 5 permits 13 to 17 % over ideal copper, and more than road-vehicle cable."""
    row = tables.cables[size]
    assert row.class_5 == most
    assert 1.12 < most / 1e3 / cable.per_metre(row.area) < 1.17
    assert most > row.milliohm


@pytest.mark.outside("ASTM B258 (formula from memory); areas as derived in a public wire table, 10 to 16 AWG read")
@pytest.mark.parametrize(
    ("gauge", "area", "milliohm"),
    [(8, 8.366, 2.061), (10, 5.261, 3.277), (12, 3.309, 5.211), (14, 2.081, 8.285), (16, 1.309, 13.17)],
)
def test_wire_gauges(tables: Tables, gauge: float, area: float, milliohm: float) -> None:
    """Section and ideal resistance of the common gauges, computed and in the table."""
    assert cable.awg_area(gauge) == pytest.approx(area * 1e-6, rel=1e-3)
    assert cable.per_metre(cable.awg_area(gauge)) == pytest.approx(milliohm * 1e-3, rel=1e-3)
    assert tables.cables[f"AWG {gauge}"].milliohm == pytest.approx(milliohm, rel=1e-3)


@pytest.mark.outside("temperature coefficient of copper 0.00393 /K at 20 C (NBS Handbook 100, digits read)")
def test_hot_copper() -> None:
    """A quarter more at 85 C, two fifths more at 120 C."""
    assert cable.temperature_factor(85) == pytest.approx(1.2555, abs=1e-4)
    assert cable.temperature_factor(120) == pytest.approx(1.393, abs=1e-3)


@pytest.mark.outside(f"worked from {ISO_6722}: 55 W at 12 V over 4 m")
def test_worked_drop(tables: Tables) -> None:
    """0.233 V over 1.5 mm2 and 0.453 V over 0.75 mm2."""
    amps = 55 / 12
    assert cable.drop(amps, tables.cables["1.5"].per_metre, 4) == pytest.approx(0.233, abs=5e-4)
    assert cable.drop(amps, tables.cables["0.75"].per_metre, 4) == pytest.approx(0.453, abs=5e-4)


@pytest.mark.outside(f"automotive handbook: 0.6 V in the whole circuit (from memory), with {HANDBOOK}")
def test_light_left_after_the_permitted_loss() -> None:
    """0.6 V of 13.2 V costs a seventh of the light, twice that more than a quarter."""
    assert filament.light_share(12.6, 13.2) == pytest.approx(0.855, abs=2e-3)
    assert filament.light_share(12.0, 13.2) == pytest.approx(0.724, abs=2e-3)


@pytest.mark.outside("workshop limits: earth path 0.10 V, small joint 0.1 V (read, common practice)")
def test_workshop_limits() -> None:
    """The limits used are the published workshop ones."""
    assert (feed.EARTH_LIMIT, feed.JOINT_LIMIT) == (0.1, 0.1)
