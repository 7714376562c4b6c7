"""The commands `report` and `demo` as a person starts them."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from engine.problems import KnowledgeError
from shell.demo_script import Script, read_script
from shell.main import main
from tests.report.conftest import Demo
from tests.report.jobs import WHOLE
from tests.shipped import shipped_base
from tests.small import TEXT, small_base

VAN = Path(str(files("kb"))) / "demo" / "van.yaml"


@pytest.fixture
def kept(tmp_path: Path) -> list[str]:
    """The arguments for a folder with one job on the small base."""
    from engine.journal import Journal
    from shell.keeping import FILE, Keeper

    (tmp_path / "base").mkdir()
    (tmp_path / "base" / "small.yaml").write_text(TEXT, encoding="utf-8")
    with Journal(tmp_path / FILE) as journal:
        keeper = Keeper(journal)
        session = keeper.load(small_base())
        for event in WHOLE:
            session = keeper.keep(session, (event,)).session
    return ["--kb", str(tmp_path / "base"), "--data", str(tmp_path)]


def test_a_kept_job_is_told_as_markdown(kept: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """`report JOB` writes the record to the screen."""
    assert main([*kept, "report", "1"]) == 0
    assert capsys.readouterr().out.startswith("# Record of job 1\n")


def test_without_a_number_it_is_the_last_job(kept: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """`report` alone tells of the job that was changed last, closed or not; `--data` may come last."""
    assert main([*kept[:2], "report", *kept[2:]]) == 0
    assert "# Record of job 1" in capsys.readouterr().out


def test_a_page_is_written_where_it_was_asked_for(
    kept: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--html FILE` writes the file and says so, and nothing else."""
    page = tmp_path / "out.html"
    assert main([*kept, "report", "1", "--html", str(page)]) == 0
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert capsys.readouterr().out == f"The report is in {page}.\n"


@pytest.mark.parametrize("wrong", [["9"], ["x"], ["1", "--html", "/no/such/folder/out.html"]])
def test_what_cannot_be_done_is_said_in_a_sentence(
    kept: list[str], wrong: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """A job that is not there, or a place that cannot be written, is no traceback."""
    assert main([*kept, "report", *wrong]) == 2
    said = capsys.readouterr().err
    assert said.strip().endswith((".", "place.")) and "Traceback" not in said


def test_a_folder_without_jobs_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is made where nothing was kept."""
    assert main(["--data", str(tmp_path / "none"), "report", "1"]) == 2
    assert "There are no jobs" in capsys.readouterr().err and not (tmp_path / "none").exists()


def test_the_demo_plays_a_whole_job(demo: Demo) -> None:
    """Complaint, two faults, a repair in vain, cause, aim and report: without a question, and labelled."""
    label, record = read_script(VAN).label, demo.page.read_text(encoding="utf-8")
    assert " ".join(demo.screen.split()).startswith(label) and label in record
    assert "failed in another way" in record and "the lamp works" in record and "closed." in record
    assert ">The aim<" in record and "Found and mended." in record and "2 days" in record
    assert demo.screen.count("> park") == 2 and "> close" in demo.screen


def test_the_script_answers_questions_that_exist() -> None:
    """A question, cause or repair that the base no longer has would silently be left out of the demo."""
    base, script = shipped_base(), read_script(VAN)
    for sitting in script.sittings:
        assert not {*sitting.answers, *sitting.again} - set(base.questions)
        assert not set(sitting.causes) - set(base.causes)
        assert not set(sitting.at) - {*base.repairs, *base.access}


def test_a_script_that_is_wrong_says_where(tmp_path: Path) -> None:
    """The place of each mistake is named."""
    bad = tmp_path / "bad.yaml"
    bad.write_text("label: x\ntitle: y\nsays: z\nsittings:\n  - says: no time\n    wrong: 1\n", encoding="utf-8")
    with pytest.raises(KnowledgeError) as raised:
        read_script(bad)
    assert {problem.place.file for problem in raised.value.problems} == {"bad.yaml"}
    said = {problem.message: problem.place.line for problem in raised.value.problems}
    assert said["sittings.0.begins: Field required"] == 5
    assert said["sittings.0.wrong: Extra inputs are not permitted"] == 6


def test_a_script_that_no_longer_fits_is_no_traceback(tmp_path: Path) -> None:
    """If the rules take a line no more, the demo says which."""
    from engine.journal import Journal
    from engine.problems import Trouble
    from shell.demo import play

    sitting = {"begins": "2025-01-01 08:00", "says": "x", "first": ["nonsense"]}
    script = Script.model_validate({"label": "x", "title": "x", "says": "x", "sittings": [sitting]})
    with Journal(tmp_path / "j.sqlite") as journal, pytest.raises(Trouble, match="nonsense"):
        play(script, small_base(), journal, lambda rows: None, 80)
