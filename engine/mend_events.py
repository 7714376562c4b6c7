"""What a person does around a repair, as values that can be kept and played again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from engine import curing, mending, vehicle_events
from engine.mending import Fastener, Frame, Mending, Result, Seen
from engine.session import Answer, Session
from engine.steps import Stage
from engine.vehicle_events import AccessNoted, VehicleEvent, VehicleNamed, VehiclesKnown


@dataclass(frozen=True)
class Begun:
    """A repair was begun."""

    repairs: tuple[str, ...]
    kind: Literal["repair-begun"] = "repair-begun"


@dataclass(frozen=True)
class RepairLeft:
    """The repair in hand was left undone."""

    kind: Literal["repair-left"] = "repair-left"


@dataclass(frozen=True)
class StepDone:
    """The task at hand was done; `text` is what it said, for the record."""

    stage: Stage
    text: str = ""
    kind: Literal["step-done"] = "step-done"


@dataclass(frozen=True)
class Fastened:
    """Something was taken off: what, how many, and where it lies."""

    what: str
    count: int = 1
    place: str = ""
    kind: Literal["fastener"] = "fastener"


@dataclass(frozen=True)
class Remeasured:
    """A question was asked again behind the repair; an outcome of None is `cannot tell`."""

    question: str
    outcome: str | None
    said: str = ""
    reading: float | None = None
    working: tuple[str, ...] = ()
    kind: Literal["remeasured"] = "remeasured"


@dataclass(frozen=True)
class Judged:
    """How the lamp is after the repair."""

    result: Result
    kind: Literal["proof-result"] = "proof-result"


@dataclass(frozen=True)
class CauseLooked:
    """What became of a root cause: found, not there, mended, or put off."""

    cause: str
    seen: Seen
    kind: Literal["cause-looked-at"] = "cause-looked-at"


@dataclass(frozen=True)
class Marked:
    """The category stamped on the light source."""

    category: str
    kind: Literal["source-marked"] = "source-marked"


@dataclass(frozen=True)
class Framed:
    """What the aim is set against: heights and distance in m, slopes negative downwards."""

    rule: str
    title: str
    height: float
    distance: float
    limits: tuple[float, float]
    target: float
    kind: Literal["aim-framed"] = "aim-framed"


@dataclass(frozen=True)
class AimRead:
    """The height at which the cut-off was read on the wall, m."""

    cutoff: float
    kind: Literal["aim-read"] = "aim-read"


@dataclass(frozen=True)
class Closed:
    """The job was closed."""

    kind: Literal["job-closed"] = "job-closed"


MendEvent: TypeAlias = (
    Begun
    | RepairLeft
    | StepDone
    | Fastened
    | Remeasured
    | Judged
    | CauseLooked
    | Marked
    | Framed
    | AimRead
    | Closed
    | VehicleEvent
)


def apply(session: Session, event: MendEvent) -> Session:
    """The session after an event whose names are known."""
    match event:
        case Begun():
            return curing.begin(session, event.repairs)
        case Judged():
            return curing.judge(session, event.result)
        case AccessNoted() | VehicleNamed() | VehiclesKnown():
            return vehicle_events.apply(session, event)
        case StepDone():
            return replace(session, mending=mending.did(session.mending, event.stage, session.step))
    return replace(session, mending=_noted(session.mending, event))


def _noted(state: Mending, event: MendEvent) -> Mending:
    """The state after an event that says something and decides nothing."""
    match event:
        case RepairLeft() if not state.cured:
            return replace(state, hand=None)
        case Fastened():
            return mending.took_off(state, Fastener(event.what, event.count, event.place))
        case Remeasured():
            answer = Answer(event.outcome, event.said, event.reading, event.working, hidden=False)
            return mending.remeasured(state, event.question, answer)
        case CauseLooked():
            return replace(state, seen={**state.seen, event.cause: event.seen})
        case Marked():
            return replace(state, category=event.category)
    return _aimed(state, event)


def _aimed(state: Mending, event: MendEvent) -> Mending:
    match event:
        case Framed():
            frame = Frame(event.rule, event.title, event.height, event.distance, event.limits, event.target)
            return replace(state, frame=frame, readings=())
        case AimRead():
            return replace(state, readings=(*state.readings, event.cutoff))
        case Closed():
            return replace(state, closed=True)
    return state


def known(session: Session, event: MendEvent) -> bool:
    """Whether everything an event names is in the session's base."""
    base = session.base
    match event:
        case Begun(repairs=repairs):
            return bool(repairs) and all(name in base.repairs for name in repairs)
        case Remeasured(question=question, outcome=outcome):
            return question in base.questions and (outcome is None or outcome in base.questions[question].outcomes)
        case AccessNoted(state=state):
            return state in base.access
        case CauseLooked(cause=cause):
            return cause in base.causes
    return True
