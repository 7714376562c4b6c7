"""The dialogue: asks, takes a line, keeps what it means, goes on. Free of terminals: lines come and go by a desk."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import reduce

from engine.events import Answered, Event, apply
from engine.session import Session, Step
from shell.commands import understand
from shell.layout import Rows, para
from shell.meanings import Do, Look, Park
from shell.names import Refusal
from shell.render_buy import buy_rows
from shell.render_help import help_rows
from shell.render_mend import taken_rows
from shell.render_noted import noted
from shell.render_standing import spend, standing
from shell.render_step import reminder, step_rows
from shell.render_trace import trace
from shell.render_why import doubt, suppose, why


@dataclass(frozen=True)
class Desk:
    """Where the dialogue happens.

    `read` gives the next line typed at a session's step and raises EOFError when there is none to come; `write` shows
    rows; `refuse` shows why a line cannot be used (and may raise, where nobody is there to type another); `width` is
    that of the screen.
    """

    read: Callable[[Session], str]
    write: Callable[[Rows], None]
    refuse: Callable[[Refusal], None]
    width: Callable[[], int]


@dataclass(frozen=True)
class Kept:
    """What became of events: the session to go on with, and what to tell the person when they could not be kept."""

    session: Session
    trouble: Refusal | None = None


Keep = Callable[[Session, Sequence[Event]], Kept]


def forget(session: Session, events: Sequence[Event]) -> Kept:
    """Keep nothing, and go on with the session after the events."""
    return Kept(reduce(apply, events, session))


def converse(session: Session, desk: Desk, keep: Keep = forget) -> Session:
    """Go on with a session until the person leaves; the session as it then stands.

    What a line means is handed to `keep` before anything else happens with it, so that nothing typed is lost.
    """
    last: Step | None = None
    asked_back: str | None = None
    while True:
        step = session.step
        if step != last:
            desk.write(step_rows(step, session, desk.width()))
            last = step
        try:
            meaning = understand(session, step, desk.read(session))
        except EOFError:
            return session
        if isinstance(meaning, Park):
            return session
        if isinstance(meaning, Refusal):
            desk.refuse(meaning)
        elif isinstance(meaning, Look):
            desk.write([*shown(session, meaning, desk.width()), *reminder(step, session, desk.width())])
        elif meaning.ask_back and asked_back != _asked(meaning):
            asked_back = _asked(meaning)
            desk.write(para(meaning.ask_back, desk.width(), "strong"))
        else:
            asked_back = None
            before, kept = session, keep(session, meaning.events)
            session = kept.session
            if kept.trouble is not None:
                desk.refuse(kept.trouble)
                last = step if session is before else None
                continue
            desk.write(noted(before, session, meaning.events, desk.width()))
            if session.step == last:
                desk.write(reminder(last, session, desk.width()))


def _asked(meaning: Do) -> str:
    return next((event.question for event in meaning.events if isinstance(event, Answered)), "")


def shown(session: Session, look: Look, width: int) -> Rows:
    """What a person asked to see."""
    match look.what:
        case "why":
            return why(session.step, look.subject, session, width)
        case "trace":
            return trace(session, width)
        case "doubt":
            return doubt(session, look.subject, width)
        case "suppose":
            return suppose(session, look.subject, look.events, width)
        case "standing":
            return standing(session, width)
        case "spend":
            return spend(session, width)
        case "buy":
            return buy_rows(session, look.subject, width)
        case "taken":
            return taken_rows(session, width)
    return help_rows(session, look.subject, width)
