"""The table of light sources set beside regulation sheets and lists. Each check names its source."""

from __future__ import annotations

import pytest

from engine.tables import Tables

H1 = "H1 lamp article of a public encyclopaedia: 1410 lm, 65 W at 12.8 V (US); 1550 lm, 68 W at 13.2 V (R37); read"
R99 = "UN R99 (from memory)"


@pytest.mark.outside("UN R99 Rev.2 annex 1, sheet titles and contents (read)")
def test_discharge_caps(tables: Tables) -> None:
    """Caps of the eight 35 W types."""
    caps = {"D1S": "PK32d-2", "D2S": "P32d-2", "D3S": "PK32d-5", "D4S": "P32d-5"}
    caps |= {"D1R": "PK32d-3", "D2R": "P32d-3", "D3R": "PK32d-6", "D4R": "P32d-6"}
    assert {name: tables.light_sources[name].cap for name in caps} == caps


@pytest.mark.outside("trade page: D1, D2 with mercury, 85 V; D3, D4 without, 42 V; odd ones: starter in base (read)")
def test_discharge_families(tables: Tables) -> None:
    """Mercury, arc voltage and starter go by the number."""
    for number in (1, 2, 3, 4):
        for letter in "SR":
            row = tables.light_sources[f"D{number}{letter}"]
            assert row.mercury == (number <= 2)
            assert row.lamp_volts == (85 if number <= 2 else 42)
            assert row.starter_in_base == (number % 2 == 1)


@pytest.mark.outside("parts lists: caps of H7, H8, H9, H11 (read); R37 sheets of HB3, HB4, H4 (from memory)")
def test_halogen_caps_differ(tables: Tables) -> None:
    """Caps as listed, and no two road categories of 12 V share one."""
    known = {"H7": "PX26d", "H8": "PGJ19-1", "H9": "PGJ19-5", "H11": "PGJ19-2"}
    known |= {"HB3": "P20d", "HB4": "P22d", "H4": "P43t-38"}
    assert {name: tables.light_sources[name].cap for name in known} == known
    caps = [row.cap for row in tables.light_sources.values() if row.use == "road" and row.rated_volts == 12]
    assert len(caps) == len(set(caps))


@pytest.mark.outside("UN R37 / R.E.5 sheets, 24 V types tested at 28.0 V (from memory)")
def test_24_volt_types(tables: Tables) -> None:
    """24 V types draw less than their 12 V namesakes though they are rated higher."""
    for name in ("H1", "H3", "H7", "H11"):
        low, high = tables.light_sources[name], tables.light_sources[f"{name}-24V"]
        assert high.test_volts == 28
        assert high.output().watts == 70
        assert high.output().watts / high.test_volts < low.output().watts / low.test_volts
