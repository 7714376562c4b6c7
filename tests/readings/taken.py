"""Readings taken on an invented car: what is typed, as a session."""

from __future__ import annotations

from engine import Session
from engine.answers import Refused, Understood, interpret
from engine.givens import depth
from tests.shipped import shipped_base

HALOGEN = {"light-source": "halogen", "complaint": "dim", "side": "left", "beam": "low", "showing-now": "yes"}
TUBE = {"light-source": "discharge-outside", "complaint": "slow", "side": "left", "beam": "low", "showing-now": "yes"}


def taken(*parts: dict[str, str]) -> Session:
    """The session in which all this has been said, what readings rest on first."""
    session = Session(shipped_base())
    said = {question: text for part in parts for question, text in part.items()}
    for question in sorted(said, key=lambda one: depth(session.base, one)):
        session = session.answer(question, understood(session, question, said[question]).answer)
    return session


def understood(session: Session, question: str, text: str) -> Understood:
    """What a text was understood as."""
    found = interpret(session, question, text)
    assert isinstance(found, Understood), found
    return found


def outcome(session: Session, question: str, text: str) -> str | None:
    """The outcome a reading is sorted into."""
    return understood(session, question, text).answer.outcome


def refused(session: Session, question: str, text: str) -> str:
    """Why a text was refused."""
    found = interpret(session, question, text)
    assert isinstance(found, Refused), found
    return found.message
