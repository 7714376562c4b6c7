"""The journal's schema: the ordered steps that make it, and bringing a journal of an earlier version up to date."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

MARK = 0x4C414D50  # kept in the file's header: tells a journal from any other database

Step = Sequence[str]

# A step that has been released is never edited: a change of the schema is a new step at the end.
STEPS: tuple[Step, ...] = (
    (
        """CREATE TABLE jobs (
            job INTEGER PRIMARY KEY AUTOINCREMENT,
            created TEXT NOT NULL,
            changed TEXT NOT NULL,
            state TEXT NOT NULL CHECK (state IN ('open', 'closed')),
            title TEXT NOT NULL,
            summary TEXT NOT NULL
        )""",
        """CREATE TABLE events (
            job INTEGER NOT NULL REFERENCES jobs (job),
            number INTEGER NOT NULL CHECK (number > 0),
            event TEXT NOT NULL,
            time TEXT NOT NULL,
            base TEXT NOT NULL,
            PRIMARY KEY (job, number)
        ) WITHOUT ROWID""",
        """CREATE TABLE quotes (
            what TEXT NOT NULL,
            name TEXT NOT NULL,
            value REAL NOT NULL,
            changed TEXT NOT NULL,
            PRIMARY KEY (what, name)
        ) WITHOUT ROWID""",
    ),
    (
        """CREATE TABLE vehicles (
            vehicle TEXT NOT NULL,
            state TEXT NOT NULL,
            text TEXT NOT NULL,
            minutes REAL,
            fasteners TEXT NOT NULL,
            changed TEXT NOT NULL,
            PRIMARY KEY (vehicle, state)
        ) WITHOUT ROWID""",
    ),
)


class NotAJournal(Exception):
    """The database was made by some other program."""


class TooNew(Exception):
    """The journal was written by a later version of this program."""


def migrate(connection: sqlite3.Connection, steps: Sequence[Step] = STEPS) -> None:
    """Bring a journal up to the last step, all or nothing. Raises NotAJournal, TooNew, sqlite3.Error."""
    if _version(connection) == len(steps):
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        for step in steps[_version(connection) :]:  # read again: another process may have been first
            for statement in step:
                connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {MARK}")
        connection.execute(f"PRAGMA user_version = {len(steps)}")
        connection.execute("COMMIT")
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")


def check(connection: sqlite3.Connection, steps: Sequence[Step] = STEPS) -> None:
    """Refuse what is not a journal, or a journal from the future. Raises NotAJournal, TooNew, sqlite3.Error."""
    mark = connection.execute("PRAGMA application_id").fetchone()[0]
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if mark != MARK and (mark or tables):
        raise NotAJournal
    if _version(connection) > len(steps):
        raise TooNew


def _version(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])
