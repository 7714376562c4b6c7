"""`kb cases`: worked cases run in parallel, and those that end otherwise are told with their place."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest

from engine.cases import run
from engine.loading import load
from shell.crew import Batch
from shell.crew import run as run_all
from shell.main import main
from shell.output import Bar


def test_cases_that_end_as_they_should_end_with_code_0(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing on the screen, the count beside it, and no bar where nobody watches."""
    assert main(["--kb", "base", "kb", "cases"]) == 0
    told = capsys.readouterr()
    assert told.out == "" and told.err == "1 case, 0 not as they should be.\n"


def test_a_case_that_fails_says_how_and_where(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Code 1, a line for each way it fails, with the place of the case."""
    text = (here / "base" / "base.yaml").read_text(encoding="utf-8")
    (here / "base" / "base.yaml").write_text(text.replace("faults: broken}\n", "faults: blown}\n"), encoding="utf-8")
    assert main(["--kb", "base", "kb", "cases", "plain"]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines and all(
        line.startswith("base/base.yaml:") and "names broken first, not blown" in line for line in lines
    )
    assert any("when played" in line for line in lines) and any("all answers given" in line for line in lines)


def test_what_is_laid_over_counts(here: Path) -> None:
    """A rule of one's own folder can make a shipped case fail."""
    assert main(["--kb", "base", "--kb-add", "mine", "kb", "cases"]) == 1


def test_endings_as_a_document(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every case with its endings, told and played."""
    assert main(["--kb", "base", "kb", "cases", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    (case,) = document["cases"]
    assert case["told"]["verdict"] == "proved" and case["played"]["faults"] == ["broken"] and document["failed"] == 0


def test_the_dialogue_can_be_read(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--steps` writes each question of a case with the suspects after it."""
    assert main(["--kb", "base", "kb", "cases", "plain", "--steps"]) == 0
    out = capsys.readouterr().out
    assert "ohms: endless" in out and "wanted: proved broken" in out


def test_an_unknown_case_is_met_with_the_nearest(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Code 2, and a name that is there."""
    assert main(["--kb", "base", "kb", "cases", "plane"]) == 2
    assert 'did you mean "plain"' in capsys.readouterr().err


def test_a_file_stands_for_its_cases(here: Path) -> None:
    """The name of a file of cases runs them all."""
    assert main(["--kb", "base", "kb", "cases", "base"]) == 0


def test_processes_change_nothing(here: Path) -> None:
    """What comes back from other processes is what running a case here gives."""
    base = load([Path("base")])
    (found,) = run_all([Batch([Path("base")], base.cases)], "cases")
    assert found == {name: run(base, name, case) for name, case in base.cases.items()}


def test_the_bar_shows_on_a_terminal_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """It counts up on one line and is wiped at the end; elsewhere it writes nothing."""

    class Screen(io.StringIO):
        def isatty(self) -> bool:
            return watched

    for watched in (True, False):
        screen = Screen()
        monkeypatch.setattr(sys, "stderr", screen)
        with Bar("cases", 2) as bar:
            bar.step()
            bar.step()
        assert ("2/2" in screen.getvalue()) is watched and "\n" not in screen.getvalue()
        assert screen.getvalue().endswith("\r") is watched
