"""`kb stats`: counts that another way of counting confirms."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from engine.grounding import ground
from engine.stats import stats
from shell import outside
from shell.main import main
from tests.shipped import shipped_base
from tests.small import small_base


def test_counts_are_those_of_the_base() -> None:
    """Sections by their entries; rules with and without a published source add up; the kinds of question too."""
    base = shipped_base()
    found = stats(base)
    assert found.counts["faults"] == len(base.faults) and found.counts["cases"] == len(base.cases)
    assert found.counts["rules_published"] + len(found.bare) == len(base.rules)
    kinds = sum(found.counts[f"questions_{kind}"] for kind in ("circumstance", "symptom", "test", "reading"))
    assert kinds == len(base.questions)
    for lamp in found.lamps:
        assert lamp.faults == len(ground(base, lamp.technology).faults)


def test_every_pattern_is_there_once() -> None:
    """Each complaint of each technology, with the faults that its table lists and the cases that have both."""
    base = small_base()
    found = {(one.technology, one.complaint): one for one in stats(base).patterns}
    assert set(found) == {(lamp, complaint) for lamp in ("lamp", "other") for complaint in ("dead", "dim")}
    assert (found["lamp", "dead"].listed, found["lamp", "dead"].cases) == (6, 1)
    assert (found["other", "dim"].listed, found["other", "dim"].cases) == (0, 0) and stats(base).covered == 1


def test_outside_checks_are_counted_from_the_tests(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Marked functions, and all of a file that is marked as a whole; none where there are no tests."""
    monkeypatch.setattr(outside.shell, "__file__", str(tmp_path / "shell" / "__init__.py"))
    assert outside.outside_checks() is None
    tests = tmp_path / "tests"
    tests.mkdir()
    (tests / "test_one.py").write_text(
        "@pytest.mark.outside('a book')\ndef test_a(): ...\n\ndef test_b(): ...\n", encoding="utf-8"
    )
    (tests / "test_two.py").write_text(
        "pytestmark = pytest.mark.outside('a page')\ndef test_a(): ...\ndef test_b(): ...\ndef helper(): ...\n",
        encoding="utf-8",
    )
    (tests / "test_bad.py").write_text("def (", encoding="utf-8")
    assert outside.outside_checks() == 3


def test_the_count_of_this_checkout_is_no_less_than_its_marks() -> None:
    """A plain search for the mark above a test finds as many."""
    root = Path(__file__).parents[1]
    marks = sum(
        len(re.findall(r"^@pytest\.mark\.outside\(", path.read_text(encoding="utf-8"), re.MULTILINE))
        for path in root.rglob("test_*.py")
    )
    assert (outside.outside_checks() or 0) >= marks > 0


def test_it_comes_as_text_and_as_a_document(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same counts in both, with what is laid over the base."""
    assert main(["--kb", "base", "--kb-add", "mine", "kb", "stats", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["rules"] == len(small_base().rules) + 1
    assert {"faults", "questions", "rules", "cases", "outside_checks", "by_technology", "by_pattern"} <= document.keys()
    assert "endless-is-the-meter" in document["rules_without_published_source"]
    assert main(["--kb", "base", "--kb-add", "mine", "kb", "stats"]) == 0
    assert re.search(rf"rules +{document['rules']}\b", capsys.readouterr().out)
