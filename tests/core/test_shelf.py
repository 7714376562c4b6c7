"""The shelf of bases read before: the same base, and never an old, odd or unwritable one in its place."""

from __future__ import annotations

import json
from dataclasses import fields
from pathlib import Path

import pytest

from engine import KnowledgeError, loading, shelf
from tests.shipped import FOLDER
from tests.small import TEXT


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the small base."""
    (tmp_path / "kb").mkdir()
    (tmp_path / "kb" / "small.yaml").write_text(TEXT)
    return tmp_path / "kb"


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """An empty shelf that is not even made yet."""
    return tmp_path / "cache" / "shelf"


def test_what_is_taken_from_the_shelf_is_what_was_read(kept: Path) -> None:
    """The shipped base: every section, in order, with every place, and the tables."""
    read = shelf.load([FOLDER], kept)
    assert len(list(kept.iterdir())) == 1
    taken = shelf.load([FOLDER], kept)
    assert taken is not read
    for field in fields(read):
        ours, theirs = getattr(taken, field.name), getattr(read, field.name)
        assert ours == theirs, field.name
        if isinstance(theirs, dict):
            assert list(ours) == list(theirs), field.name


def test_a_changed_file_is_read_anew(folder: Path, kept: Path) -> None:
    """A word changed in a file shows at once, and so does a layer laid over."""
    shelf.load([folder], kept)
    (folder / "small.yaml").write_text(TEXT.replace("broken filament", "torn filament"))
    assert shelf.load([folder], kept).faults["broken"].name == "torn filament"
    layer = folder.parent / "mine"
    layer.mkdir()
    (layer / "mine.yaml").write_text("causes: {salt: {name: salt, look: The plug., mend: Wash it.}}")
    assert "salt" in shelf.load([folder, layer], kept).causes
    assert "salt" not in shelf.load([folder], kept).causes


@pytest.mark.parametrize(
    "spoilt", ["", "{", "[]", "null", '{"entries": {}}', '{"entries": 1, "files": [], "places": []}']
)
def test_an_odd_file_on_the_shelf_is_passed_over(folder: Path, kept: Path, spoilt: str) -> None:
    """Whatever lies there, the base is read from its files, and the shelf is right again."""
    shelf.load([folder], kept)
    (lying,) = kept.iterdir()
    good = lying.read_text()
    lying.write_text(spoilt)
    assert "broken" in shelf.load([folder], kept).faults
    assert lying.read_text() == good


def test_what_the_schema_refuses_is_not_taken(folder: Path, kept: Path) -> None:
    """A shelf that was tampered with cannot bring in what a file could not."""
    shelf.load([folder], kept)
    (lying,) = kept.iterdir()
    read = json.loads(lying.read_text())
    read["entries"]["faults"]["broken"]["name"] = "x" * 5000
    lying.write_text(json.dumps(read))
    assert shelf.load([folder], kept).faults["broken"].name == "broken filament"


def test_a_shelf_that_cannot_be_written_is_no_matter(folder: Path, tmp_path: Path) -> None:
    """Where a file stands in the way, the base is read all the same."""
    (tmp_path / "cache").write_text("in the way")
    assert "broken" in shelf.load([folder], tmp_path / "cache" / "shelf").faults


def test_a_base_with_problems_is_never_kept(folder: Path, kept: Path) -> None:
    """It is refused each time, with the same problems."""
    (folder / "small.yaml").write_text(TEXT.replace("repair: new-bulb", "repair: no-such"))
    for _ in range(2):
        with pytest.raises(KnowledgeError, match="no-such"):
            shelf.load([folder], kept)
    assert not kept.exists()


def test_the_shelf_does_not_grow_without_end(folder: Path, kept: Path) -> None:
    """Only the bases used last are kept."""
    for number in range(shelf.KEPT + 3):
        (folder / "small.yaml").write_text(TEXT.replace("broken filament", f"filament {number}"))
        shelf.load([folder], kept)
    assert len(list(kept.iterdir())) == shelf.KEPT
    assert loading.load([folder]).faults["broken"].name == f"filament {shelf.KEPT + 2}"
