"""The journal: every event of every job in one SQLite file, on the disk before anything else happens."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

from engine import migrations, storage
from engine.events import Event, Priced, dump, read
from engine.mend_events import Closed
from engine.replay import Summary, dump_summary, read_summary
from engine.storage import JournalError, Moved
from engine.vehicle_events import AccessNoted

__all__ = ["Entry", "Job", "Journal", "JournalError", "Moved", "Stamp", "State"]

State = Literal["open", "closed"]
JOBS = """SELECT job, created, changed, state, title, summary,
          (SELECT count(*) FROM events WHERE events.job = jobs.job) FROM jobs"""


@dataclass(frozen=True)
class Job:
    """A job as listed. `summary` is None when a later version of the program wrote it in a way unknown here."""

    job: int
    created: datetime
    changed: datetime
    state: State
    title: str
    events: int
    summary: Summary | None


@dataclass(frozen=True)
class Entry:
    """An event as kept; None when it cannot be read. `base` is the fingerprint of the base it was made under."""

    number: int
    event: Event | None
    time: datetime
    base: str


@dataclass(frozen=True)
class Stamp:
    """What is kept beside events: when, under which base, and how the job stands after them."""

    time: datetime
    base: str
    title: str
    summary: Summary


class Journal:
    """An open journal file. Every method raises JournalError with a plain sentence when the file cannot serve."""

    def __init__(self, path: Path, steps: Sequence[migrations.Step] = migrations.STEPS) -> None:
        """Open a journal, making it if there is none, and bring it up to date."""
        self.path = path
        with storage.plainly(path):
            self._connection = storage.open_file(path, steps)
        self._file = _identity(path)

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def __enter__(self) -> Journal:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # reading

    def jobs(self) -> tuple[Job, ...]:
        """All jobs, the one changed last first."""
        with self._reading():
            return tuple(map(_job, self._connection.execute(f"{JOBS} ORDER BY changed DESC, job DESC")))

    def job(self, job: int) -> Job | None:
        """One job, or None when there is none of that number."""
        with self._reading():
            return next(map(_job, self._connection.execute(f"{JOBS} WHERE job = ?", (job,))), None)

    def entries(self, job: int) -> tuple[Entry, ...]:
        """The events of a job in their order."""
        query = "SELECT number, event, time, base FROM events WHERE job = ? ORDER BY number"
        with self._reading():
            rows = self._connection.execute(query, (job,))
            return tuple(Entry(number, _event(text), _time(time), base) for number, text, time, base in rows)

    def quotes(self) -> tuple[Priced, ...]:
        """The user's own figures, as last given in any job."""
        query = "SELECT what, name, value FROM quotes ORDER BY what, name"
        with self._reading():
            return tuple(Priced(*row) for row in self._connection.execute(query))

    def vehicles(self) -> tuple[AccessNoted, ...]:
        """How vehicles are opened up, as last told in any job, the vehicle told of last first."""
        query = """SELECT state, text, minutes, fasteners, vehicle FROM vehicles
                   ORDER BY max(changed) OVER (PARTITION BY vehicle) DESC, vehicle, state"""
        with self._reading():
            return tuple(AccessNoted(*row) for row in self._connection.execute(query))

    @contextmanager
    def _reading(self) -> Iterator[None]:
        with storage.plainly(self.path):
            try:
                yield
            except (TypeError, ValueError) as error:  # a field that this program cannot have written
                raise storage.Damaged from error

    # writing

    def ready(self) -> None:
        """Make sure that the journal can be written, and have a copy of it as it was before this sitting."""
        with self._transaction():
            (version,) = self._connection.execute("PRAGMA user_version").fetchone()
            self._connection.execute(f"PRAGMA user_version = {version}")  # the smallest thing that is truly written
            (jobs,) = self._connection.execute("SELECT count(*) FROM jobs").fetchone()
        if jobs:
            storage.refresh_copy(self._connection, self.path)

    def begin(self, events: Sequence[Event], stamp: Stamp, remembered: Sequence[Event] = ()) -> int:
        """A new job with its first events, safe on the disk; gives its number.

        `remembered` is what it starts from, quotes and vehicles: they come first in the job, and are not taken as new.
        """
        with self._transaction():
            made = self._connection.execute(
                "INSERT INTO jobs (created, changed, state, title, summary) VALUES (?, ?, 'open', ?, ?)",
                (_text(stamp.time), _text(stamp.time), stamp.title, dump_summary(stamp.summary)),
            )
            job = int(made.lastrowid or 0)
            self._insert(job, 0, remembered, stamp)
            self._insert(job, len(remembered), events, stamp)
            self._remember(events, stamp)
        return job

    def keep(self, job: int, after: int, events: Sequence[Event], stamp: Stamp) -> None:
        """Add events to a job of which the writer has seen `after`, safe on the disk.

        The job is closed when the last of them says so; any other opens a closed job again.

        Raises Moved when the job has gone on elsewhere meanwhile; nothing is written then.
        """
        with self._transaction():
            query = "SELECT coalesce(max(number), 0) FROM events WHERE job = ?"
            (last,) = self._connection.execute(query, (job,)).fetchone()
            if last != after:
                raise Moved(f"Job {job} has gone on in another window. Nothing was overwritten.")
            self._insert(job, after, events, stamp)
            self._remember(events, stamp)
            self._connection.execute(
                "UPDATE jobs SET changed = ?, state = ?, title = ?, summary = ? WHERE job = ?",
                (_text(stamp.time), _state(events), stamp.title, dump_summary(stamp.summary), job),
            )

    def mark(self, job: int, state: State, time: datetime) -> None:
        """Close a job, or open it again."""
        with self._transaction():
            self._connection.execute("UPDATE jobs SET state = ?, changed = ? WHERE job = ?", (state, _text(time), job))

    def _insert(self, job: int, after: int, events: Sequence[Event], stamp: Stamp) -> None:
        for number, event in enumerate(events, after + 1):
            self._connection.execute(
                "INSERT INTO events (job, number, event, time, base) VALUES (?, ?, ?, ?, ?)",
                (job, number, dump(event), _text(stamp.time), stamp.base),
            )

    def _remember(self, events: Sequence[Event], stamp: Stamp) -> None:
        for event in events:
            if isinstance(event, Priced):
                self._connection.execute(
                    "INSERT OR REPLACE INTO quotes (what, name, value, changed) VALUES (?, ?, ?, ?)",
                    (event.what, event.name, event.value, _text(stamp.time)),
                )
            elif isinstance(event, AccessNoted) and event.vehicle:
                self._connection.execute(
                    "INSERT OR REPLACE INTO vehicles (vehicle, state, text, minutes, fasteners, changed) "
                    "VALUES (?, ?, ?, ?, ?, ?)",
                    (event.vehicle, event.state, event.text, event.minutes, event.fasteners, _text(stamp.time)),
                )

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        """All or nothing, and on the disk at the end."""
        with storage.plainly(self.path):
            if _identity(self.path) != self._file:  # SQLite would go on writing into the file that is gone
                raise JournalError(f"The journal {self.path} was moved or replaced while in use. Start again.")
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._connection.execute("COMMIT")
            finally:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")


def _state(events: Sequence[Event]) -> State:
    return "closed" if events and isinstance(events[-1], Closed) else "open"


def _identity(path: Path) -> tuple[int, int] | None:
    try:
        found = os.stat(path)
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _job(row: tuple[int, str, str, State, str, str, int]) -> Job:
    job, created, changed, state, title, text, events = row
    try:
        summary = read_summary(text)
    except ValueError:
        summary = None
    return Job(job, _time(created), _time(changed), state, title, events, summary)


def _event(text: str) -> Event | None:
    try:
        return read(text)
    except ValueError:
        return None


def _text(time: datetime) -> str:
    return time.astimezone(UTC).isoformat(timespec="milliseconds")  # one zone, so that texts sort as times do


def _time(text: str) -> datetime:
    return datetime.fromisoformat(text)
