"""A journal of an earlier version is brought up to date, whole or not at all; one of a later version is left alone."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from engine import migrations
from engine.journal import Journal, JournalError
from engine.migrations import STEPS
from tests.journal.jobs import EVENTS, NOON, stamp

# Two invented versions after the last, and one that cannot be taken, to show how steps are.
AFTER = (
    ("ALTER TABLE jobs ADD COLUMN bay TEXT NOT NULL DEFAULT 'bay 1'",),
    ("CREATE TABLE bays (bay TEXT PRIMARY KEY)", "INSERT INTO bays SELECT DISTINCT bay FROM jobs"),
)
BROKEN = ("CREATE TABLE half (a)", "CREATE TABLE jobs (a)")


def raw(path: Path, query: str) -> list[tuple[object, ...]]:
    """What a query gives, past the journal."""
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(query).fetchall()


@pytest.mark.parametrize("version", range(len(STEPS) + len(AFTER) + 1))
def test_every_earlier_version_comes_up_to_date(path: Path, version: int) -> None:
    """From each version, also an empty one, every later step is taken once and in order, and the jobs are kept."""
    every = (*STEPS, *AFTER)
    path.parent.mkdir()
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("VACUUM")  # an empty database has no pages yet
        migrations.migrate(connection, every[:version])
    has_jobs = version >= len(STEPS)
    if has_jobs:
        with Journal(path, every[:version]) as journal:
            journal.begin(EVENTS, stamp())
    with Journal(path, every) as journal:
        assert [job.created for job in journal.jobs()] == [NOON] * has_jobs
        assert [entry.event for entry in journal.entries(1)] == list(EVENTS) * has_jobs
    assert raw(path, "PRAGMA user_version") == [(len(every),)]
    assert raw(path, "SELECT bay FROM bays") == [("bay 1",)] * (has_jobs and version < len(every))


def test_a_step_that_fails_changes_nothing(path: Path) -> None:
    """When the last statement of a step fails, the journal is as before and opens with the old steps."""
    with Journal(path) as journal:
        journal.begin(EVENTS, stamp())
    with pytest.raises(JournalError):
        Journal(path, (*STEPS, BROKEN))
    assert raw(path, "PRAGMA user_version") == [(len(STEPS),)]
    assert raw(path, "SELECT name FROM sqlite_master WHERE name = 'half'") == []
    with Journal(path) as journal:
        assert len(journal.entries(1)) == len(EVENTS)


def test_a_journal_of_a_later_version_is_left_alone(path: Path) -> None:
    """An older program says that the journal is newer, and does not touch it."""
    Journal(path, (*STEPS, *AFTER)).close()
    before = path.read_bytes()
    with pytest.raises(JournalError, match="later version"):
        Journal(path)
    assert path.read_bytes() == before


def test_a_database_of_another_program_is_left_alone(path: Path) -> None:
    """A database that is no journal is refused and stays byte for byte."""
    path.parent.mkdir()
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("CREATE TABLE things (a)")
    before = path.read_bytes()
    with pytest.raises(JournalError, match="some other program"):
        Journal(path)
    assert path.read_bytes() == before
