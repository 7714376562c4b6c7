"""What a person does in a job, as values that can be kept and played again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter

from engine import mend_events
from engine.mend_events import MendEvent
from engine.session import Answer, Session
from engine.turning import turn


@dataclass(frozen=True)
class Answered:
    """A question was answered; an outcome of None is `cannot tell`."""

    question: str
    outcome: str | None
    said: str = ""
    reading: float | None = None
    working: tuple[str, ...] = ()
    hidden: bool | None = None
    kind: Literal["answered"] = "answered"


@dataclass(frozen=True)
class PutOff:
    """A question cannot be answered now."""

    question: str
    kind: Literal["put-off"] = "put-off"


@dataclass(frozen=True)
class Amended:
    """An earlier answer was taken back; the question is asked again."""

    question: str
    kind: Literal["amended"] = "amended"


@dataclass(frozen=True)
class Rechecked:
    """An answer was asked for again because it goes ill with others."""

    question: str
    kind: Literal["rechecked"] = "rechecked"


@dataclass(frozen=True)
class Acknowledged:
    """Cautions were read."""

    cautions: tuple[str, ...]
    kind: Literal["acknowledged"] = "acknowledged"


@dataclass(frozen=True)
class Declined:
    """Tests with these dangers were declined."""

    cautions: tuple[str, ...]
    kind: Literal["declined"] = "declined"


@dataclass(frozen=True)
class Remarked:
    """Something worth keeping was said."""

    text: str
    kind: Literal["remarked"] = "remarked"


@dataclass(frozen=True)
class Turned:
    """The search turned to the other complaint, or back."""

    kind: Literal["turned"] = "turned"


@dataclass(frozen=True)
class Priced:
    """A figure of the user's own: of a setting, of a part (by repair), or minutes of a state of access."""

    what: Literal["settings", "parts", "access"]
    name: str
    value: float
    kind: Literal["priced"] = "priced"


Event = Answered | PutOff | Amended | Rechecked | Acknowledged | Declined | Remarked | Turned | Priced | MendEvent


def apply(session: Session, event: Event) -> Session:
    """The session after an event. Names that the base no longer has are passed over, see `known`."""
    if not known(session, event):
        return session
    match event:
        case Answered() | PutOff() | Amended() | Rechecked():
            return _to_question(session, event)
        case Acknowledged():
            return session.acknowledge(event.cautions)
        case Declined():
            return session.decline(event.cautions)
        case Remarked():
            return session.remark(event.text)
        case Turned():
            return turn(session)
        case Priced():
            figures = {**getattr(session.prices, event.what), event.name: event.value}
            return replace(session, prices=replace(session.prices, **{event.what: figures}))
    return mend_events.apply(session, event)


def _to_question(session: Session, event: Answered | PutOff | Amended | Rechecked) -> Session:
    match event:
        case Answered():
            answer = Answer(event.outcome, event.said, event.reading, event.working, event.hidden)
            return session.answer(event.question, answer)
        case PutOff():
            return session.put_off(event.question)
        case Amended():
            return session.amend(event.question)
    return session.recheck(event.question)


def known(session: Session, event: Event) -> bool:
    """Whether everything an event names is in the session's base."""
    base = session.base
    match event:
        case Answered(question=question, outcome=outcome):
            return question in base.questions and (outcome is None or outcome in base.questions[question].outcomes)
        case PutOff(question=question) | Amended(question=question) | Rechecked(question=question):
            return question in base.questions
        case Acknowledged(cautions=cautions) | Declined(cautions=cautions):
            return all(name in base.cautions for name in cautions)
        case Priced(what=what, name=name):
            section = {"settings": base.settings, "parts": base.repairs, "access": base.access}[what]
            return name in section
        case Remarked() | Turned():
            return True
    return mend_events.known(session, event)


@cache
def _adapter() -> TypeAdapter[Event]:
    return TypeAdapter(Annotated[Event, Field(discriminator="kind")])


def dump(event: Event) -> str:
    """The event as one line of JSON."""
    return _adapter().dump_json(event).decode()


def read(text: str) -> Event:
    """The event a line of JSON holds. Raises ValueError when it holds none."""
    return _adapter().validate_json(text)
