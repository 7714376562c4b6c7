"""Invented jobs on the small base, for the tests of the journal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from engine.base import Base
from engine.events import Answered, Event, Priced, Remarked
from engine.journal import Stamp
from engine.replay import fingerprint, headline, replay, summary
from tests.small import small_base

NOON = datetime(2025, 3, 1, 12, tzinfo=UTC)
EVENTS: tuple[Event, ...] = (
    Answered("kind", "lamp"),
    Answered("complaint", "dead", said="it's dead"),
    Priced("parts", "new-bulb", 7.5),
    Remarked("Grey van, invented; bay 2. 'quoted' \"twice\" ö Ω\n"),
    Answered("fuse-look", None),
    Answered("ohms", "endless", reading=1e9, working=("no current",)),
)


def stamp(events: Sequence[Event] = EVENTS, base: Base | None = None, minutes: float = 0) -> Stamp:
    """What is kept beside the last of these events, some minutes after noon."""
    base = base or small_base()
    session = replay(base, events)
    return Stamp(NOON + timedelta(minutes=minutes), fingerprint(base), headline(session), summary(session))
