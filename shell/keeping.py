"""Where jobs are kept, and the keeper that has each event of a sitting safe before the dialogue goes on."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import reduce
from pathlib import Path

import platformdirs

from engine.base import Base
from engine.events import Event, apply, known
from engine.journal import Journal, JournalError, Moved, Stamp
from engine.replay import fingerprint, headline, replay, summary
from engine.session import Session
from engine.vehicle_events import VehiclesKnown
from shell.dialogue import Keep, Kept, forget
from shell.names import Refusal
from shell.output import complain

FILE = "journal.sqlite"
ANYWHERE = "LAMPWRIGHT_DATA"
NOT_TAKEN = "What you just said was not taken"


@dataclass(frozen=True)
class Sitting:
    """What a dialogue starts from: the session, who keeps what is said, and what is said on leaving."""

    session: Session
    keep: Keep = forget
    kept: bool = False
    farewell: Callable[[], str] = lambda: "Left. Nothing was kept."


def place(args: argparse.Namespace) -> Path:
    """The journal's file: in the folder of `--data`, or of the environment, or where the platform keeps data."""
    chosen = _chosen(args)
    folder = Path(chosen) if chosen else platformdirs.user_data_path("lampwright", appauthor=False)
    return folder.expanduser() / FILE


def _chosen(args: argparse.Namespace) -> str:
    return args.data or os.environ.get(ANYWHERE, "")


def now() -> datetime:
    """The time on the clock."""
    return datetime.now(UTC)


def begin(args: argparse.Namespace, base: Base) -> Sitting:
    """A new job. It gets its number with the first event; who only looks leaves nothing behind.

    Where no folder was asked for and the usual one cannot serve, the diagnosis goes on unkept and says so.
    Raises JournalError when a folder was asked for and cannot serve.
    """
    try:
        journal = Journal(place(args))
        journal.ready()
        remembered: tuple[Event, ...] = tuple(event for event in journal.quotes() if known(Session(base), event))
        vehicles = journal.vehicles()
    except JournalError as error:
        if _chosen(args):
            raise
        complain(f"Your answers will not be kept. {error} (`--data DIR` keeps them elsewhere.)")
        return Sitting(Session(base))
    if vehicles:
        remembered = (*remembered, VehiclesKnown(vehicles))
    keeper = Keeper(journal, remembered=remembered)
    return Sitting(replay(base, remembered), keeper.keep, True, keeper.farewell)


def resume(journal: Journal, base: Base, job: int) -> Sitting:
    """A job where it stood. Raises JournalError when it cannot be written on."""
    journal.ready()
    keeper = Keeper(journal, job)
    return Sitting(keeper.load(base), keeper.keep, True, keeper.farewell)


@dataclass
class Keeper:
    """Writes a job's events to the journal; `job` is None until there is a first one."""

    journal: Journal
    job: int | None = None
    remembered: Sequence[Event] = ()
    clock: Callable[[], datetime] = now
    count: int = field(default=0, init=False)

    def load(self, base: Base) -> Session:
        """The session of the job as it stands in the journal now."""
        entries = self.journal.entries(self.job) if self.job is not None else ()
        self.count = len(entries)
        return replay(base, (entry.event for entry in entries))

    def keep(self, session: Session, events: Sequence[Event]) -> Kept:
        """Have the events on the disk, then give the session after them; or say why they were not taken."""
        after = reduce(apply, events, session)
        try:
            self._write(events, after)
        except Moved as moved:
            return Kept(self.load(session.base), Refusal(f"{moved} {NOT_TAKEN}. This is where the job stands now"))
        except JournalError as error:
            return Kept(session, Refusal(f"{error} {NOT_TAKEN}"))
        return Kept(after)

    def _write(self, events: Sequence[Event], after: Session) -> None:
        stamp = Stamp(self.clock(), fingerprint(after.base), headline(after), summary(after))
        if self.job is None:
            self.job = self.journal.begin(events, stamp, self.remembered)
            self.count = len(self.remembered)
        else:
            self.journal.keep(self.job, self.count, events, stamp)
        self.count += len(events)

    def farewell(self) -> str:
        """How to come back."""
        if self.job is None:
            return "Left. There was nothing to keep."
        return f"Job {self.job} is kept. `lampwright resume {self.job}` goes on from here."
