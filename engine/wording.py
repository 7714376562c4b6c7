"""Words for people: names of things, with sides and beams filled in as far as they are known."""

from __future__ import annotations

import re
from collections.abc import Mapping

from engine.base import Base
from engine.belief import UNKNOWN
from engine.schema import Question
from engine.session import Session

UNFILLED = {"this": "this", "other": "other", "beam": "beam that fails", "opposite": "other beam"}


def in_words(name: str) -> str:
    """An id as words: hyphens and dots become spaces."""
    return name.replace("-", " ").replace(".", " ")


def labels(session: Session) -> Mapping[str, str]:
    """The words that stand for `{this}`, `{other}`, `{beam}` and the like, as far as answers tell."""
    found = dict(UNFILLED)
    for name, outcome in session.told.items():
        found.update(session.base.questions[name].outcomes[outcome].labels)
    return found


def fill(session: Session, text: str) -> str:
    """A text with its placeholders filled."""
    known = labels(session)
    return re.sub(r"\{([a-z]+)\}", lambda match: known.get(match[1], match[0]), text)


def fault_name(base: Base, fault: str) -> str:
    """What a fault is called."""
    return "something not known here" if fault == UNKNOWN else base.faults[fault].name


def title(session: Session, question: str) -> str:
    """The few words that name a question."""
    return fill(session, session.base.questions[question].title)


def accepts(entry: Question) -> str:
    """What may be typed to a question beside its outcomes; nothing where only those are."""
    if entry.unit is None:
        return ""
    figure = f"the figure in {entry.unit}"
    if entry.table is not None:
        return f"what is stamped on it, or {figure}"
    return ", or ".join([figure, *(f"one in {unit} with its unit" for unit in entry.also)])


def outcome_words(session: Session, question: str, outcome: str) -> str:
    """What an outcome says."""
    return fill(session, session.base.questions[question].outcomes[outcome].say)


def told_words(session: Session, question: str) -> str:
    """What the answer to a question says; nothing where there is none."""
    return outcome_words(session, question, session.told[question]) if question in session.told else ""


def repairs_name(base: Base, repairs: tuple[str, ...]) -> str:
    """What a repair, or a row of repairs, is called."""
    return ", then ".join(base.repairs[name].name for name in repairs)


def fact_words(session: Session, name: str, value: str) -> str:
    """A fact in words: a finding by its question's title, a conclusion by its own name."""
    if name in session.base.questions:
        return f"{title(session, name)}: {outcome_words(session, name, value)}"
    return f"{in_words(name)}: {in_words(value)}"
