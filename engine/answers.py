"""What a person typed becomes an answer, or a sentence that says what is accepted."""

from __future__ import annotations

from dataclasses import dataclass

from engine import schema
from engine.physics import sorting, units
from engine.problems import nearest
from engine.session import Answer, Session
from engine.wording import title

UNSURE = ("unsure", "?", "-", "cannot tell")


@dataclass(frozen=True)
class Understood:
    """The answer; `ask_back` is a sentence to ask once, when a reading is possible but odd."""

    answer: Answer
    ask_back: str = ""


@dataclass(frozen=True)
class Refused:
    """Why the text is no answer, and what is accepted."""

    message: str


def interpret(session: Session, question: str, text: str) -> Understood | Refused:
    """The answer a text means: an outcome's id, number or start, a reading with or without unit, or unsure."""
    said = " ".join(text.split())
    entry = session.base.questions[question]
    if said.lower() in UNSURE:
        return Understood(Answer(None, said))
    outcomes = list(entry.outcomes)
    if said.lower() in outcomes:
        return Understood(Answer(said.lower(), said))
    if entry.kind == "reading":
        return _reading(session, question, entry, said)
    if said.isdecimal() and len(said) < 4 and 1 <= int(said) <= len(outcomes):
        return Understood(Answer(outcomes[int(said) - 1], said))
    starts = [name for name in outcomes if name.startswith(said.lower())] if said else []
    if len(starts) == 1:
        return Understood(Answer(starts[0], said))
    allowed = ", ".join(f"{index} {name}" for index, name in enumerate(outcomes, 1))
    close = nearest(said.lower(), outcomes) if said and "allowed" not in nearest(said.lower(), outcomes) else ""
    shown = f'"{said[:40]}" is none of the answers' if said else "An answer is needed"
    return Refused(f"{shown}{close or ':'} {allowed}, or unsure")


def _reading(session: Session, question: str, entry: schema.Question, said: str) -> Understood | Refused:
    symbol = entry.unit or ""
    try:
        value = units.parse(said, symbol)
    except ValueError as exc:
        return Refused(f"{exc}. An outcome does as well: {', '.join(entry.outcomes)}, or unsure")
    shown = units.unit(symbol).outward(value)
    low, high = entry.plausible or (float("-inf"), float("inf"))
    if not low <= shown <= high:
        return Refused(f"{said} cannot be right here: between {low:g} and {high:g} {symbol}. Look again, or say unsure")
    working: tuple[str, ...] = ()
    figure = shown
    if entry.compute:
        try:
            computed = sorting.COMPUTATIONS[entry.compute](value, _given(session, entry))
        except ValueError as exc:
            return Refused(f"{exc}. Look again, or say unsure")
        figure, working = computed.value, computed.lines
    for name, outcome in entry.outcomes.items():
        above = outcome.at_least is None or figure >= outcome.at_least
        if above and (outcome.below is None or figure < outcome.below):
            answer = Answer(name, said, value, (*working, f"so: {name.replace('-', ' ')}"))
            return Understood(answer, _ask_back(session, question, entry, shown, symbol))
    return Refused(f"{said} fits none of the outcomes: {', '.join(entry.outcomes)}. Pick one, or say unsure")


def _ask_back(session: Session, question: str, entry: schema.Question, shown: float, symbol: str) -> str:
    if entry.expected is None or entry.expected[0] <= shown <= entry.expected[1]:
        return ""
    low, high = entry.expected
    name = title(session, question)
    return f"{shown:g} {symbol} for {name}? One would expect {low:g} to {high:g} {symbol}. Say it again if it is right."


def _given(session: Session, entry: schema.Question) -> dict[str, float]:
    """What a computation is given: numbers as they stand, readings as they were taken."""
    found = {}
    for name, word in entry.given.items():
        if word in session.base.questions:
            answer = session.answers.get(word)
            if answer is not None and answer.reading is not None:
                found[name] = answer.reading
        else:
            found[name] = float(word)
    return found
