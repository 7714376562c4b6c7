"""A job played again event by event: what each did, when, and the session before and after it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from engine.base import Base
from engine.events import Event, apply
from engine.session import Session


@dataclass(frozen=True)
class Happened:
    """An event and its time; `event` is None when it cannot be read."""

    event: Event | None
    time: datetime


@dataclass(frozen=True)
class Moment:
    """An event with its time, and the session on either side of it."""

    event: Event
    time: datetime
    before: Session
    after: Session


def moments(base: Base, happened: Iterable[Happened]) -> tuple[Moment, ...]:
    """The moments of a job; events that cannot be read are passed over."""
    session, found = Session(base), []
    for one in happened:
        if one.event is not None:
            after = apply(session, one.event)
            found.append(Moment(one.event, one.time, session, after))
            session = after
    return tuple(found)
