"""Invented jobs on the small base, for the tests of the report."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from engine.base import Base
from engine.events import Answered, Event, Priced, Remarked
from engine.mend_events import AimRead, Begun, CauseLooked, Closed, Fastened, Framed, Judged, Remeasured, StepDone
from engine.moments import Happened
from engine.report import Report, compose
from tests.small import small_base

NOON = datetime(2025, 3, 1, 12, tzinfo=UTC)

SEARCH: tuple[Event, ...] = (
    Answered("kind", "lamp"),
    Answered("complaint", "dead"),
    Answered("showing", "yes"),
    Answered("have-meter", "yes"),
    Answered("light.other", "works"),
    Answered("fuse-look", None),
    Answered("bulb-look", "broken"),
    Answered("ohms", "endless"),
)
VAIN: tuple[Event, ...] = (
    Begun(("new-bulb",)),
    StepDone("open", "Open it."),
    Fastened("torx screw", 3, "lid of the red box"),
    StepDone("do", "Fit it."),
    Remeasured("ohms", "low"),
    StepDone("prove", "Try it."),
    Judged("changed"),
)
SECOND: tuple[Event, ...] = (
    Answered("complaint", "dim"),
    Answered("bulb-look", "whole"),
    Answered("plug-look", "green"),
    Answered("volts", "low"),
)
CURE: tuple[Event, ...] = (
    Begun(("new-plug",)),
    StepDone("do", "Fit it."),
    StepDone("prove", "Try it."),
    Judged("works"),
    CauseLooked("shaking", "found"),
    Framed("some-rule", "An invented rule", 0.7, 10.0, (-0.025, -0.005), -0.0125),
    AimRead(0.5),
    AimRead(0.575),
    Closed(),
)
WHOLE: tuple[Event, ...] = (Priced("parts", "new-bulb", 7.5), Remarked("Bay 2."), *SEARCH, *VAIN, *SECOND, *CURE)


def happened(events: Iterable[Event | None]) -> list[Happened]:
    """The events, an hour apart from noon."""
    return [Happened(event, NOON + timedelta(hours=number)) for number, event in enumerate(events)]


def report(events: Iterable[Event | None] = WHOLE, base: Base | None = None) -> Report:
    """The report on these events."""
    return compose(base or small_base(), "7", happened(events))
