"""When the disk, the folder or the file is in trouble, the journal says so plainly and harms nothing."""

from __future__ import annotations

import random
import resource
import shutil
import signal
import sqlite3
import subprocess
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from pathlib import Path

import pytest

from engine.events import Remarked
from engine.journal import Journal, JournalError
from engine.storage import copy_of
from tests.journal.jobs import EVENTS, stamp

PAGE = 4096


def whole(path: Path) -> bool:
    """Whether the database passes SQLite's own full check."""
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def texts(journal: Journal, job: int = 1) -> list[str]:
    """The remarks of a job."""
    return [one.event.text for one in journal.entries(job) if isinstance(one.event, Remarked)]


@contextmanager
def no_file_beyond(size: int) -> Iterator[None]:
    """Let no file grow beyond a size, as on a disk that is full."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, handler)


def fill(journal: Journal, job: int, kept: list[str]) -> None:
    """Keep long remarks until the journal refuses; `kept` holds those that were acknowledged."""
    for number in range(1000):
        text = f"{number} " + "long " * 400
        journal.keep(job, len(kept), [Remarked(text)], stamp(()))
        kept.append(text)


def test_files_that_may_not_grow(path: Path) -> None:
    """When the file can grow no more, the event is refused with a word; all that was acknowledged is there."""
    kept = ["first"]
    with Journal(path) as journal:
        job = journal.begin([Remarked("first")], stamp(()))
        with no_file_beyond(20 * PAGE), pytest.raises(JournalError, match="full"):
            fill(journal, job, kept)
        assert texts(journal) == kept
        journal.keep(job, len(kept), [Remarked("there is room again")], stamp(()))
    assert len(kept) > 3
    assert whole(path)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real file system of 160 kB."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted = shutil.which("mount") and subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=160k", "tmpfs", str(folder)], capture_output=True, check=False
    )
    if not mounted or mounted.returncode:
        pytest.skip("mounting a file system needs rights that are not here")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def test_a_disk_that_is_really_full(small_disk: Path) -> None:
    """On a full file system: refused with a word, nothing lost, and goes on once there is room."""
    path, ballast, kept = small_disk / "journal.sqlite", small_disk / "ballast", ["first"]
    ballast.write_bytes(b"x" * 8 * PAGE)
    with Journal(path) as journal:
        job = journal.begin([Remarked("first")], stamp(()))
        with pytest.raises(JournalError, match="disk is full"):
            fill(journal, job, kept)
        assert texts(journal) == kept
    with Journal(path) as journal:
        assert texts(journal) == kept
        ballast.unlink()
        journal.keep(job, len(kept), [Remarked("there is room again")], stamp(()))
    assert len(kept) > 3
    assert whole(path)


def test_no_room_even_to_begin(small_disk: Path) -> None:
    """A journal that cannot be made for want of room says so, and leaves no half-made file."""
    (small_disk / "ballast").write_bytes(b"x" * 39 * PAGE)
    with pytest.raises(JournalError, match="disk is full"):
        Journal(small_disk / "journal.sqlite")
    assert [one.name for one in small_disk.iterdir()] == ["ballast"]


def test_a_folder_that_may_not_be_written(open_folder: Path, plain_user: AbstractContextManager[None]) -> None:
    """Making a journal in a read-only folder is refused with a word that names the mend."""
    open_folder.chmod(0o555)
    with plain_user, pytest.raises(JournalError, match="cannot be opened for writing"):
        Journal(open_folder / "data" / "journal.sqlite")


@pytest.mark.parametrize(("folder_mode", "file_mode"), [(0o555, 0o666), (0o555, 0o444), (0o777, 0o444)])
def test_a_journal_that_may_only_be_read(
    open_folder: Path, plain_user: AbstractContextManager[None], folder_mode: int, file_mode: int
) -> None:
    """A read-only journal can be listed; before the first question and at each event it says so."""
    path = open_folder / "journal.sqlite"
    with Journal(path) as journal:
        job = journal.begin(EVENTS, stamp())
    path.chmod(file_mode)
    open_folder.chmod(folder_mode)
    before = path.read_bytes()
    with plain_user, Journal(path) as journal:
        assert [entry.event for entry in journal.entries(job)] == list(EVENTS)
        with pytest.raises(JournalError, match="cannot be opened for writing"):
            journal.ready()
        with pytest.raises(JournalError, match="cannot be opened for writing"):
            journal.keep(job, len(EVENTS), EVENTS[:1], stamp())
    assert path.read_bytes() == before


def test_a_folder_that_is_a_file(tmp_path: Path) -> None:
    """A data folder that is a file is refused with a word."""
    (tmp_path / "data").write_text("I am a file")
    with pytest.raises(JournalError, match="choose another folder"):
        Journal(tmp_path / "data" / "journal.sqlite")


def test_another_window_that_holds_the_file(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While another process writes and does not finish, the event is refused with a word; then it goes on."""
    monkeypatch.setattr("engine.storage.PATIENCE", 0.05)
    with Journal(path) as journal, closing(sqlite3.connect(path, isolation_level=None)) as other:
        job = journal.begin(EVENTS[:1], stamp(EVENTS[:1]))
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(JournalError, match="Another window"):
            journal.keep(job, 1, EVENTS[1:2], stamp(EVENTS[:2]))
        with pytest.raises(JournalError, match="Another window"):
            journal.jobs()
        other.execute("ROLLBACK")
        journal.keep(job, 1, EVENTS[1:2], stamp(EVENTS[:2]))


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The bytes of a journal with a few jobs, of many pages."""
    path = tmp_path_factory.mktemp("sound") / "journal.sqlite"
    with Journal(path) as journal:
        for _ in range(3):
            journal.begin([*EVENTS, *(Remarked(f"{number} " + "long " * 150) for number in range(20))], stamp())
    return path.read_bytes()


def cuts() -> list[int]:
    """A cut at every page boundary, around the header, and at random places."""
    places = random.Random(4).sample(range(1, 20 * PAGE), 40)
    return sorted({*range(0, 20 * PAGE, PAGE), 1, 15, 16, 99, 100, 101, 512, *places})


@pytest.mark.parametrize("copied", [False, True], ids=["alone", "with-copy"])
def test_a_journal_cut_short(path: Path, sound: bytes, copied: bool) -> None:
    """Wherever a journal was cut, opening it says so, names the copy if there is one, and changes no byte."""
    assert len(sound) > 10 * PAGE
    path.parent.mkdir()
    if copied:
        copy_of(path).write_bytes(sound)
    for cut in [one for one in cuts() if one < len(sound)] + [len(sound) - 1]:
        path.write_bytes(sound[:cut])
        with pytest.raises(JournalError, match="cut short") as caught:
            Journal(path)
        assert (str(copy_of(path)) in str(caught.value)) == copied
        assert path.read_bytes() == sound[:cut]


def test_bytes_changed_at_random_never_raise_anything_else(path: Path, sound: bytes) -> None:
    """A journal with flipped bytes is refused, or read as far as it makes sense; never with another exception."""
    path.parent.mkdir()
    chance = random.Random(7)
    for _ in range(60):
        spoilt = bytearray(sound)
        for place in chance.sample(range(len(spoilt)), chance.choice((1, 20, 400))):
            spoilt[place] = chance.randrange(256)
        path.write_bytes(spoilt)
        try:
            with Journal(path) as journal:
                for job in journal.jobs():
                    journal.entries(job.job)
                journal.quotes()
        except JournalError as error:
            assert str(path) in str(error)


@pytest.mark.parametrize("content", [b"hello, I am a letter\n" * 300, bytes(PAGE), b"\xff" * 50])
def test_a_file_that_is_no_database(path: Path, content: bytes) -> None:
    """Some other file in the journal's place is refused and left alone."""
    path.parent.mkdir()
    path.write_bytes(content)
    with pytest.raises(JournalError, match="no journal"):
        Journal(path)
    assert path.read_bytes() == content


def test_the_copy_of_the_last_sitting_takes_the_place_of_a_damaged_journal(path: Path, sound: bytes) -> None:
    """Doing what the message says brings back every job that was there when the last sitting began."""
    with Journal(path) as journal:
        journal.begin(EVENTS, stamp())
        journal.ready()
        journal.begin(EVENTS[:2], stamp(EVENTS[:2]))
    path.unlink()
    with pytest.raises(JournalError, match="rename it"):
        Journal(path)
    copy_of(path).rename(path)
    with Journal(path) as journal:
        assert [entry.event for entry in journal.entries(1)] == list(EVENTS)


def test_a_copy_that_cannot_be_made_stops_nothing(path: Path) -> None:
    """The journal serves although there is no room, or no leave, for its copy."""
    with Journal(path) as journal:
        journal.begin(EVENTS, stamp())
        copy_of(path).mkdir()
        journal.ready()
    assert sorted(one.name for one in path.parent.iterdir()) == ["journal-copy.sqlite", "journal.sqlite"]
