"""A sitting keeps what is said before it goes on, says when it cannot, and yields to another window."""

from __future__ import annotations

import argparse
import io
import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from engine.events import Answered, Remarked
from engine.journal import Journal, JournalError
from engine.replay import replay
from engine.session import Session
from shell import keeping
from shell.dialogue import Desk, converse
from shell.layout import Rows, text_of
from shell.main import main
from shell.names import Refusal
from tests.small import TEXT, small_base

OPENING = ("1", "1", "1", "all")


def arguments(folder: Path | str | None) -> argparse.Namespace:
    """The arguments with which a job is begun."""
    return argparse.Namespace(data=None if folder is None else str(folder))


class Table:
    """A desk for a dialogue with a list of lines, where things may happen before a line is typed."""

    def __init__(self, *lines: object) -> None:
        self.lines, self.shown, self.refused = list(lines), [], []

    def desk(self) -> Desk:
        """The desk."""
        return Desk(self.read, self.write, self.refuse, lambda: 80)

    def read(self, session: Session) -> str:
        """The next line; what can be called is called first."""
        while self.lines:
            line = self.lines.pop(0)
            if isinstance(line, str):
                return line
            line()
        raise EOFError

    def write(self, rows: Rows) -> None:
        """Keep what is shown."""
        self.shown += text_of(rows)

    def refuse(self, refusal: Refusal) -> None:
        """Keep what is refused."""
        self.refused.append(refusal.message)


def hold(sitting: keeping.Sitting, *lines: object) -> tuple[Session, Table]:
    """Hold a dialogue; the session at its end, and the table it was held at."""
    table = Table(*lines)
    return converse(sitting.session, table.desk(), sitting.keep), table


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder that is not there yet."""
    return tmp_path / "data"


def test_who_only_looks_leaves_no_job(folder: Path) -> None:
    """A job gets its number with the first event; questions and refusals make none."""
    sitting = keeping.begin(arguments(folder), small_base())
    hold(sitting, "why", "help", "nonsense")
    with Journal(folder / keeping.FILE) as journal:
        assert journal.jobs() == ()
    assert "nothing to keep" in sitting.farewell()


def test_each_line_is_on_the_disk_before_the_next_is_read(folder: Path) -> None:
    """When the next line is asked for, another reader of the file finds what the last line meant."""
    sitting, seen = keeping.begin(arguments(folder), small_base()), []

    def look() -> None:
        with Journal(folder / keeping.FILE) as journal:
            seen.append(len(journal.entries(1)))

    hold(sitting, "1", look, "1", look, "remark wet", look, "amend complaint", look)
    assert seen == [1, 2, 3, 4]


def test_a_job_goes_on_where_it_stood(folder: Path) -> None:
    """After leaving anywhere, also with an answer taken back, resuming gives an equal session and the same step."""
    left, _ = hold(keeping.begin(arguments(folder), small_base()), *OPENING, "remark wet", "amend complaint")
    with Journal(folder / keeping.FILE) as journal:
        sitting = keeping.resume(journal, small_base(), 1)
        assert sitting.session.step == left.step
        assert (sitting.session.answers, sitting.session.remarks) == (left.answers, left.remarks)
        hold(sitting, "2")
        assert journal.entries(1)[-1].event == Answered("complaint", "dim", said="2")


def test_own_figures_are_taken_into_the_next_job(folder: Path) -> None:
    """A price and minutes given in one job count from the start of the next, and are kept with it."""
    hold(keeping.begin(arguments(folder), small_base()), "price new-bulb 7.5", "minutes out 35")
    session, _ = hold(keeping.begin(arguments(folder), small_base()), "1")
    assert session.prices.parts == {"new-bulb": 7.5}
    assert session.prices.access == {"out": 35}
    with Journal(folder / keeping.FILE) as journal:
        assert replay(small_base(), (entry.event for entry in journal.entries(2))).prices == session.prices


def test_an_old_figure_does_not_overwrite_a_newer_one(folder: Path) -> None:
    """A job begun with the figures of then does not take them as given anew."""
    early = keeping.begin(arguments(folder), small_base())
    hold(keeping.begin(arguments(folder), small_base()), "price new-bulb 7")
    middle = keeping.begin(arguments(folder), small_base())
    hold(keeping.begin(arguments(folder), small_base()), "price new-bulb 9")
    hold(early, "1")
    hold(middle, "1")
    assert keeping.begin(arguments(folder), small_base()).session.prices.parts == {"new-bulb": 9}


def test_a_job_that_went_on_elsewhere_is_taken_up_from_there(folder: Path) -> None:
    """The slower of two windows is told, its line is not taken, and it goes on from where the other left the job."""
    first = keeping.begin(arguments(folder), small_base())

    def elsewhere() -> None:
        with Journal(folder / keeping.FILE) as journal:
            hold(keeping.resume(journal, small_base(), 1), "2", "remark from the other window")

    session, table = hold(first, "1", elsewhere, "1", "remark here again")
    assert len(table.refused) == 1
    assert "another window" in table.refused[0]
    assert session.complaint == "dim"
    assert session.remarks == ("from the other window", "here again")
    with Journal(folder / keeping.FILE) as journal:
        kept = replay(small_base(), (entry.event for entry in journal.entries(1)))
    assert (kept.answers, kept.remarks) == (session.answers, session.remarks)


def test_a_line_that_cannot_be_kept_is_not_taken(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the journal refuses, the session stays as it was and says so; once it can, the same line is taken."""
    monkeypatch.setattr("engine.storage.PATIENCE", 0.02)
    sitting = keeping.begin(arguments(folder), small_base())
    with closing(sqlite3.connect(folder / keeping.FILE, isolation_level=None)) as other:
        session, table = hold(
            sitting, "1", lambda: other.execute("BEGIN EXCLUSIVE"), "1", lambda: other.execute("ROLLBACK"), "1"
        )
    assert len(table.refused) == 1
    assert "was not taken" in table.refused[0]
    assert session.complaint == "dead"
    with Journal(folder / keeping.FILE) as journal:
        assert [entry.event for entry in journal.entries(1)] == [
            Answered("kind", "lamp", said="1"),
            Answered("complaint", "dead", said="1"),
        ]


def test_a_folder_asked_for_that_cannot_serve_is_refused(tmp_path: Path) -> None:
    """Who asked for a folder is not left with answers that are kept nowhere."""
    (tmp_path / "file").touch()
    with pytest.raises(JournalError):
        keeping.begin(arguments(tmp_path / "file"), small_base())


def test_the_usual_folder_that_cannot_serve_is_said_and_done_without(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With nowhere to keep jobs, the diagnosis still goes on, after a plain word."""
    (tmp_path / "file").touch()
    monkeypatch.delenv(keeping.ANYWHERE)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "file"))
    sitting = keeping.begin(arguments(None), small_base())
    assert "will not be kept" in capsys.readouterr().err
    session, _ = hold(sitting, "1")
    assert (session.technology, sitting.kept) == ("lamp", False)


@pytest.fixture
def command(folder: Path, tmp_path: Path) -> list[str]:
    """The start of a command line: the small base, and a data folder with two jobs."""
    (tmp_path / "kb").mkdir()
    (tmp_path / "kb" / "small.yaml").write_text(TEXT)
    hold(keeping.begin(arguments(folder), small_base()), *OPENING)
    hold(keeping.begin(arguments(folder), small_base()), "1", "remark <b>\x1b[31mred\x1b[0m")
    return ["--kb", str(tmp_path / "kb"), "--data", str(folder)]


def test_jobs_as_json_newest_first(command: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """`jobs --json` is a list with the job changed last first, each with what `resume` takes."""
    assert main([*command, "jobs", "--json"]) == 0
    listed = json.loads(capsys.readouterr().out)
    assert [job["job"] for job in listed] == ["2", "1"]
    assert (listed[1]["title"], listed[1]["state"], listed[1]["verdict"]) == ("Dead; lamp", "open", "likely")


def test_jobs_without_a_journal_makes_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Listing where nothing was kept says so and leaves no file."""
    assert main(["--data", str(tmp_path / "new"), "jobs", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == []
    assert not (tmp_path / "new").exists()


def test_closed_jobs_are_passed_over_by_plain_resume(
    command: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """`resume` takes the open job changed last; with all closed it says what to do; a number finds any."""
    monkeypatch.setattr("sys.stdin", None)
    assert main([*command, "jobs", "--close", "2"]) == 0
    capsys.readouterr()
    assert main([*command, "resume", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["verdict"] == "likely"
    assert main([*command, "jobs", "--close", "1"]) == 0
    assert main([*command, "resume"]) == 2
    assert "no open job" in capsys.readouterr().err
    assert main([*command, "resume", "1"]) == 0


@pytest.mark.parametrize("job", ["9", "one", "-1", "", "1; DROP TABLE jobs", "9" * 400])
def test_a_job_that_is_not_there(command: list[str], capsys: pytest.CaptureFixture[str], job: str) -> None:
    """A number that no job has, or no number at all, is refused with where to look."""
    assert main([*command, "resume", "--", job]) == 2
    assert "lists those there are" in capsys.readouterr().err


def test_resuming_under_newer_rules_says_what_they_change(
    command: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Before the next question it is told what is lost and concluded differently; not again once it has gone on."""
    newer = TEXT.replace("dead: {say: Dead.}, dim", "out: {say: Dead.}, dim", 1).replace("{dead: ", "{out: ")
    (tmp_path / "kb" / "small.yaml").write_text(newer.replace("complaint: dead", "complaint: out"))
    monkeypatch.setattr("sys.stdin", None)
    assert main([*command, "resume", "1"]) == 0
    told = capsys.readouterr().out
    assert "rule base has changed" in told
    assert "complaint: 1" in told
    assert "Then: Most likely: broken filament" in told
    monkeypatch.setattr("sys.stdin", io.StringIO("remark read\n"))
    assert main([*command, "resume", "1"]) == 0
    assert "rule base has changed" in capsys.readouterr().out
    monkeypatch.setattr("sys.stdin", None)
    assert main([*command, "resume", "1"]) == 0
    assert "rule base has changed" not in capsys.readouterr().out


def test_a_damaged_journal_is_one_sentence_and_exit_code_two(
    command: list[str], folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every command that needs a damaged journal says so in words, and leaves the file as it is."""
    path = folder / keeping.FILE
    path.write_bytes(path.read_bytes()[:5000])
    for words in (["jobs"], ["resume"], ["diagnose"]):
        assert main([*command, *words]) == 2
        assert "cut short" in capsys.readouterr().err
    assert path.stat().st_size == 5000


def test_bytes_that_are_no_text_are_kept_as_a_remark(folder: Path) -> None:
    """A remark with half a character, as a pipe may give, does not stop the program."""
    session, table = hold(keeping.begin(arguments(folder), small_base()), "remark half \udcff done", "remark whole")
    assert session.remarks[-1] == "whole"
    with Journal(folder / keeping.FILE) as journal:
        kept = [entry.event for entry in journal.entries(1)]
    assert kept[-1] == Remarked("whole")
    assert len(kept) + len(table.refused) == 2
