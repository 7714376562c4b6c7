"""The published tables: shipped ones load; broken ones are told by file, line and column; replacements are judged."""

from importlib.resources import files
from pathlib import Path

import pytest

from engine.problems import KnowledgeError
from engine.replacement import may_replace
from engine.tables import Tables, load_tables

FOLDER = Path(str(files("kb") / "tables"))


@pytest.fixture(scope="module")
def tables() -> Tables:
    """The shipped tables."""
    return load_tables(FOLDER)


def test_every_row_has_a_source(tables: Tables) -> None:
    """No figure stands without saying where it comes from."""
    rows = [row for section in vars(tables).values() for row in section.values()]
    assert len(rows) > 70
    assert all(row.source and row.status for row in rows)


def test_rows_cannot_be_changed(tables: Tables) -> None:
    """Rows and sections are frozen."""
    with pytest.raises(ValueError, match="frozen"):
        tables.cables["1.5"].milliohm = 1  # type: ignore[misc]  # the point of the test
    with pytest.raises(TypeError):
        tables.cables["9"] = tables.cables["1"]  # type: ignore[index]  # the point of the test


@pytest.mark.parametrize(
    ("old", "new", "place", "words"),
    [
        ("    section: 1.5", "    section: thick", "cables.yaml:4:14", "valid number"),
        ("    milliohm: 12.7", "    miliohm: 12.7", "cables.yaml:5:5", "no such key"),
        ("    status: read", "    status: sure", "cables.yaml:6:13", "'read'"),
        ("    milliohm: 12.7", "    milliohm: -1", "cables.yaml:5:15", "greater than 0"),
        ("    section: 1.5", "    section: nan", "cables.yaml:4:14", "finite"),
    ],
)
def test_a_broken_row_is_told_by_place(tmp_path: Path, old: str, new: str, place: str, words: str) -> None:
    """File, line and column of the offending value or key."""
    row = "    section: 1.5\n    milliohm: 12.7\n    status: read\n    source: invented\n    means: most\n"
    text = 'cables:\n  # a wire\n  "1.5":\n' + row
    (tmp_path / "cables.yaml").write_text(text.replace(old, new))
    with pytest.raises(KnowledgeError) as caught:
        load_tables(tmp_path)
    told = str(caught.value)
    assert place in told
    assert words in told


def test_an_empty_folder_is_told(tmp_path: Path) -> None:
    """A folder without tables is a problem, not an empty set."""
    with pytest.raises(KnowledgeError, match="no tables"):
        load_tables(tmp_path)


def test_a_row_in_two_files_is_told(tmp_path: Path) -> None:
    """Ids are used once over all files."""
    row = 'cables:\n  "1":\n    section: 1\n    milliohm: 18.5\n    means: most\n    status: read\n    source: own\n'
    (tmp_path / "a.yaml").write_text(row)
    (tmp_path / "b.yaml").write_text(row)
    with pytest.raises(KnowledgeError, match="two files"):
        load_tables(tmp_path)


def test_a_forbidden_replacement_must_have_a_row(tmp_path: Path) -> None:
    """A name that leads nowhere is told."""
    (tmp_path / "s.yaml").write_text(
        "light_sources:\n  A1:\n    kind: filament\n    use: road\n    rated_volts: 12\n    test_volts: 13.2\n"
        "    cap: X1x\n    outputs: {single: {watts: 55}}\n    never: {B2: no}\n    status: read\n    source: own\n"
    )
    with pytest.raises(KnowledgeError, match=r's\.yaml:2:3: .*"B2", which has no row'):
        load_tables(tmp_path)


@pytest.mark.parametrize(
    ("fitted", "offered", "reason"),
    [
        ("D1S", "D3S", "42 V"),
        ("D2S", "D4S", "42 V"),
        ("D3S", "D1S", "mercury"),
        ("D1S", "D2S", "starter"),
        ("D2S", "D2R", "stripes"),
        ("D8S", "D1S", "25 W ballast"),
        ("H11", "H9", "dazzles"),
        ("H7", "H7-24V", "24 V"),
        ("H7", "D2S", "approved for one kind"),
        ("H1", "H3", "cap is PK22s"),
        ("H7", "H4", "same beams"),
    ],
)
def test_wrong_replacements_are_refused_with_reasons(tables: Tables, fitted: str, offered: str, reason: str) -> None:
    """What looks alike but differs in volts, starter, mercury, stripes, cap or beams may not be fitted."""
    verdict = may_replace(fitted, offered, tables.light_sources)
    assert not verdict.may
    assert any(reason in words for words in verdict.reasons)


def test_no_source_replaces_another_unless_listed(tables: Tables) -> None:
    """Over all pairs: only the same category may, and every refusal gives a reason."""
    for fitted in tables.light_sources:
        for offered in tables.light_sources:
            verdict = may_replace(fitted, offered, tables.light_sources)
            listed = offered in tables.light_sources[fitted].also_fits
            assert verdict.may == (fitted == offered or listed)
            assert verdict.reasons


def test_unknown_category_is_refused(tables: Tables) -> None:
    """A category that is not in the table gets no verdict."""
    with pytest.raises(ValueError, match="not in the table"):
        may_replace("H7", "H99", tables.light_sources)


def test_a_section_between_rows_is_carried_over(tables: Tables) -> None:
    """A row's own section gives the row's value; between and beyond, thicker always means less resistance."""
    assert tables.cable_per_metre(1.5e-6) == pytest.approx(0.0127)
    found = [tables.cable_per_metre(step * 5e-8) for step in range(2, 200)]
    assert found == sorted(found, reverse=True)
