"""The journal's file: making, opening, checking and copying it, and saying plainly what is wrong with it."""

from __future__ import annotations

import errno
import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from engine import migrations
from engine.problems import Trouble

PATIENCE = 5.0  # seconds to wait for another process to finish writing
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


class JournalError(Trouble):
    """The journal cannot serve; the text says why and what to do, in plain words."""


class Moved(JournalError):
    """A job has gone on elsewhere since it was read."""


class Damaged(Exception):
    """The file holds a database that is not whole."""


def open_file(path: Path, steps: Sequence[migrations.Step]) -> sqlite3.Connection:
    """Open a journal, made and brought up to date as needed. To be called within `plainly`."""
    if not path.exists():
        _make(path, steps)
    connection = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None)
    try:
        _set_up(connection)
        migrations.check(connection, steps)
        _check(connection, path)
        migrations.migrate(connection, steps)
    except BaseException as error:
        connection.close()
        if isinstance(error, UnicodeError):  # the file's own bytes, quoted in a message about them
            raise Damaged from error
        raise
    return connection


def _set_up(connection: sqlite3.Connection) -> None:
    # One file and a rollback journal: it works on network folders, and can be carried about. EXTRA is FULL, and
    # waits for the removal of the rollback journal too: without that, power loss can undo the last answer.
    connection.execute("PRAGMA journal_mode = DELETE")
    connection.execute("PRAGMA synchronous = EXTRA")
    connection.execute("PRAGMA foreign_keys = ON")


def _check(connection: sqlite3.Connection, path: Path) -> None:
    """Refuse a file that is not whole; SQLite itself reads a page that was cut as if its end were zeros."""
    connection.execute("BEGIN")
    try:
        sound = connection.execute("PRAGMA quick_check(1)").fetchone() == ("ok",)  # from here on nobody else writes
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        (size,) = connection.execute("PRAGMA page_size").fetchone()
        if not sound or not 0 < pages * size <= path.stat().st_size:
            raise Damaged
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")


def _make(path: Path, steps: Sequence[migrations.Step]) -> None:
    """Make an empty journal beside its place and link it in whole, so that nobody ever meets half a journal."""
    if copy_of(path).exists():
        raise JournalError(
            f"There is no journal {path}, but a copy of one: {copy_of(path)}. "
            f"To go on with it, rename it to {path.name}; to begin anew, move it elsewhere."
        )
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        draft.unlink(missing_ok=True)
        with closing(sqlite3.connect(draft, isolation_level=None)) as connection:
            _set_up(connection)
            migrations.migrate(connection, steps)
        try:
            os.link(draft, path)
        except FileExistsError:
            pass  # another process was first, its journal will do
        except OSError:  # a file system without links
            os.rename(draft, path)
    finally:
        draft.unlink(missing_ok=True)


def copy_of(path: Path) -> Path:
    """Where the copy of a journal is kept."""
    return path.with_name(f"{path.stem}-copy{path.suffix}")


def refresh_copy(connection: sqlite3.Connection, path: Path) -> None:
    """Copy a sound journal that has changed since the last copy. A copy that cannot be made is no reason to stop."""
    copy = copy_of(path)
    draft = copy.with_name(f"{copy.name}.{os.getpid()}.new")
    with suppress(OSError, sqlite3.Error):
        if copy.exists() and copy.stat().st_mtime_ns >= path.stat().st_mtime_ns:
            return
        try:
            draft.unlink(missing_ok=True)
            with closing(sqlite3.connect(draft)) as other:
                connection.backup(other)
            os.replace(draft, copy)
        finally:
            draft.unlink(missing_ok=True)


@contextmanager
def plainly(path: Path) -> Iterator[None]:
    """Turn what goes wrong with the file into a JournalError that says what to do."""
    try:
        yield
    except Damaged as error:
        raise JournalError(_damaged(path)) from error
    except migrations.NotAJournal as error:
        raise JournalError(f"{path} is a database of some other program. Choose another folder.") from error
    except migrations.TooNew as error:
        raise JournalError(
            f"The journal {path} was written by a later version of lampwright. Install that version, or a later one."
        ) from error
    except sqlite3.Error as error:
        raise JournalError(_explained(path, error)) from error
    except OSError as error:
        if error.errno in FULL:
            raise JournalError(_full(path)) from error
        raise JournalError(_shut(path, error.strerror or str(error))) from error


def _explained(path: Path, error: sqlite3.Error) -> str:
    match getattr(error, "sqlite_errorcode", 0) & 0xFF:
        case sqlite3.SQLITE_FULL:
            return _full(path)
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM | sqlite3.SQLITE_CANTOPEN:
            return _shut(path, "file or folder cannot be written")
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return f"Another window is writing to the journal {path} and has not finished. Try again in a moment."
        case sqlite3.SQLITE_CORRUPT | sqlite3.SQLITE_NOTADB:
            return _damaged(path)
        case sqlite3.SQLITE_IOERR:
            return (
                f"The journal {path} cannot be read or written: the disk is full or failing. Make room, then try again."
            )
    return f"The journal {path} cannot be used ({error}). Choose another folder, or move the file elsewhere."


def _full(path: Path) -> str:
    return f"The disk is full: nothing more can be kept in the journal {path}. Make room, then try again."


def _shut(path: Path, why: str) -> str:
    return f"The journal {path} cannot be opened for writing ({why}). Allow writing there, or choose another folder."


def _damaged(path: Path) -> str:
    copy = copy_of(path)
    said = f"The journal {path} is damaged or cut short, or is no journal. It has been left as it is. "
    if copy.exists():
        return said + (
            f"A copy from the start of the last sitting is at {copy}: "
            f"move the damaged file elsewhere and rename the copy to {path.name}."
        )
    return said + "Move it elsewhere to begin a new one, or choose another folder."
