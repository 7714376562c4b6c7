"""The dialogue: asks, takes a line, keeps what it means, goes on. Free of terminals: lines come and go by a desk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from engine.events import Answered, Event, apply
from engine.session import Session, Step
from shell.commands import Do, Look, Park, understand
from shell.layout import Rows, para
from shell.names import Refusal
from shell.render_help import help_rows
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


def forget(event: Event) -> None:
    """Keep nothing."""


def converse(session: Session, desk: Desk, keep: Callable[[Event], None] = forget) -> Session:
    """Go on with a session until the person leaves; the session as it then stands.

    Each event is handed to `keep` before anything else happens with it, so that nothing typed is lost.
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
            before, session = session, _done(session, meaning, keep)
            asked_back = None
            desk.write(noted(before, session, meaning.events, desk.width()))
            if session.step == last:
                desk.write(reminder(last, session, desk.width()))


def _done(session: Session, meaning: Do, keep: Callable[[Event], None]) -> Session:
    for event in meaning.events:
        keep(event)
        session = apply(session, event)
    return session


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
    return help_rows(session, look.subject, width)
