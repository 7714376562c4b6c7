"""What a person typed becomes an answer, or a sentence that says what is accepted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from engine import never, schema
from engine.givens import depth, givens, row_words
from engine.physics import sorting, units
from engine.problems import nearest
from engine.session import Answer, Session
from engine.wording import in_words, title

UNSURE = (schema.UNSURE, "?", "-", "cannot tell")


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
    forbidden = never.refusal(session.base, said)
    if forbidden:
        return Refused(forbidden)
    if said.lower() in UNSURE:
        return Understood(Answer(None, said))
    outcomes = list(entry.outcomes)
    if said.lower() in outcomes:
        return Understood(Answer(said.lower(), said))
    if entry.table and said[:1].isalpha():
        return _row(session, entry, entry.table, said)
    if entry.unit:
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


def resorted(session: Session, question: str) -> Iterator[tuple[str, Answer]]:
    """Readings that sort otherwise, or with other figures, now that a question has been answered."""
    base = session.base
    for name in sorted(session.answers, key=lambda one: depth(base, one)):
        entry, before = base.questions[name], session.answers[name]
        rests = question in entry.given.values() or question in base.circumstances
        if before.reading is None or entry.compute is None or not rests or name == question:
            continue
        found = interpret(session, name, before.said)
        if not isinstance(found, Understood) or found.answer.working == before.working:
            continue
        if found.answer.outcome == before.outcome and name in session.rechecked:
            continue  # the same answer once more would count as confirmed, which nobody has done
        answer = replace(found.answer, hidden=before.hidden)
        session = session.answer(name, answer)
        yield name, answer


def _row(session: Session, entry: schema.Question, table: schema.Table, said: str) -> Understood | Refused:
    """A row of a table, by its name: the answer is sorted by the power it is rated at."""
    known = {name: row for name, row in session.base.tables.light_sources.items() if row.kind in table.kinds}
    names = {name.casefold(): name for name in session.base.tables.light_sources}
    name = names.get(said.casefold(), "")
    if name not in known:
        wrong = f"{name} is another kind of source" if name else f"{said[:40]} is not in the table"
        power = f"Its power does as well, as in 35 {entry.unit}; or {', '.join(entry.outcomes)}, or unsure"
        return Refused(f"{wrong}{nearest(said.upper(), known) or ''}. Look at the stamp. {power}")
    watts = known[name].output().watts
    for outcome, entries in entry.outcomes.items():
        if _within(entries, watts):
            return Understood(Answer(outcome, name, watts, (row_words(name, known[name]),)))
    return Refused(f"{name} fits none of the outcomes: {', '.join(entry.outcomes)}. Pick one, or say unsure")


def _reading(session: Session, question: str, entry: schema.Question, said: str) -> Understood | Refused:
    symbol = entry.unit or ""
    given = givens(session, entry)
    try:
        value, converted = _value(entry, said, given)
    except ValueError as exc:
        return Refused(f"{exc}. An outcome does as well: {', '.join(entry.outcomes)}, or unsure")
    shown = units.unit(symbol).outward(value)
    low, high = entry.plausible or (float("-inf"), float("inf"))
    if not low <= shown <= high:
        more = f" {entry.refusal}" if entry.refusal else ""
        return Refused(
            f"{said} cannot be right here: between {low:g} and {high:g} {symbol}.{more} Look again, or say unsure"
        )
    try:
        figure, unit, working = _figure(entry, value, given)
    except ValueError as exc:
        return Refused(f"{exc}. Look again, or say unsure")
    for name, outcome in entry.outcomes.items():
        if _within(outcome, figure):
            so = f"so: {in_words(name)}{_band(outcome, unit)}"
            answer = Answer(name, said, value, (*converted, *working, so))
            return Understood(answer, _ask_back(session, question, entry, shown, symbol))
    return Refused(f"{said} fits none of the outcomes: {', '.join(entry.outcomes)}. Pick one, or say unsure")


def _value(entry: schema.Question, said: str, given: Mapping[str, float]) -> tuple[float, tuple[str, ...]]:
    """The reading, in the program's own unit; one of another quantity is converted where the question allows it."""
    try:
        return units.parse(said, entry.unit or ""), ()
    except ValueError as exc:
        for symbol, conversion in entry.also.items():
            try:
                other = units.parse(said, symbol)
            except ValueError:
                continue
            value, line = sorting.CONVERSIONS[conversion](other, given)
            return value, (line,)
        also = "".join(f", or {', '.join(units.accepted(symbol))}" for symbol in entry.also)
        raise ValueError(f"{exc}{also}") from None


def _figure(entry: schema.Question, value: float, given: Mapping[str, float]) -> tuple[float, str, tuple[str, ...]]:
    """What the bands compare, the unit they are written in, and the working."""
    if entry.compute is None:
        return units.unit(entry.unit or "").outward(value), entry.unit or "", ()
    found = sorting.COMPUTATIONS[entry.compute](value, given)
    return found.value, found.unit or "share", found.lines


def _within(outcome: schema.Outcome, figure: float) -> bool:
    above = outcome.at_least is None or figure >= outcome.at_least
    return above and (outcome.below is None or figure < outcome.below)


def _band(outcome: schema.Outcome, unit: str) -> str:
    """The band of an outcome in words: what is tolerated, or from where it is too much."""

    def words(figure: float) -> str:
        if unit in units.UNITS:
            return units.show(units.unit(unit).inward(figure), _readable(unit, figure))
        return f"{figure * 100:.0f} %" if unit == "share" else f"{figure:g} {unit}"

    if outcome.at_least is None:
        return "" if outcome.below is None else f" (below {words(outcome.below)})"
    if outcome.below is None:
        return f" ({words(outcome.at_least)} or more)"
    return f" ({words(outcome.at_least)} to {words(outcome.below)})"


def _readable(unit: str, figure: float) -> str:
    return "mohm" if unit == "ohm" and 0 < abs(figure) < 1 else unit


def _ask_back(session: Session, question: str, entry: schema.Question, shown: float, symbol: str) -> str:
    if entry.expected is None or entry.expected[0] <= shown <= entry.expected[1]:
        return ""
    low, high = entry.expected
    name = title(session, question)
    return f"{shown:g} {symbol} for {name}? One would expect {low:g} to {high:g} {symbol}. Say it again if it is right."
