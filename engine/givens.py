"""What a computation on a reading is given in a session: figures of the car, and readings taken before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

from engine import schema
from engine.base import Base
from engine.physics import units
from engine.physics.ballast import nearest_kind
from engine.physics.computed import GIVEN, Computed
from engine.physics.sorting import COMPUTATIONS, FORETELLINGS
from engine.session import Session
from engine.tables import LightSource


def givens(session: Session, entry: schema.Question) -> Mapping[str, float]:
    """The figures for a question, by name: its own, then those of the car, then readings; the last one holds."""
    found: dict[str, float] = {}
    for name, word in entry.given.items():
        if word not in session.base.questions:
            found[name] = _parsed(name, word)
    for outcome in _circumstances(session):
        found.update((name, _parsed(name, text)) for name, text in outcome.figures.items())
    for figures in _stamps(session):
        found.update(figures)
    for name, word in entry.given.items():
        answer = session.answers.get(word)
        if answer is not None and answer.reading is not None:
            found[name] = answer.reading
    return found


def depth(base: Base, question: str, above: frozenset[str] = frozenset()) -> int:
    """How many layers of answers a reading rests on; circumstances come before all of them."""
    entry = base.questions[question]
    if entry.kind == "circumstance":
        return 0
    below = [word for word in entry.given.values() if word in base.questions and word not in above]
    return 1 + max((depth(base, word, above | {question}) for word in below), default=0)


def foretold(session: Session, question: str) -> str:
    """What a sound car would show to a reading, in words; nothing where physics has no say."""
    entry = session.base.questions[question]
    tell = FORETELLINGS.get(entry.compute or "")
    try:
        return tell(givens(session, entry)) if tell else ""
    except ValueError:  # an earlier reading that cannot be reckoned with
        return ""


def computed(session: Session, question: str) -> Computed | None:
    """A reading of the session computed with all that is known now; None where there is none, or it cannot be."""
    entry, answer = session.base.questions[question], session.answers.get(question)
    if answer is None or answer.reading is None or entry.compute is None:
        return None
    try:
        return COMPUTATIONS[entry.compute](answer.reading, givens(session, entry))
    except ValueError:
        return None


def row_figures(row: LightSource) -> dict[str, float]:
    """What a computation can be told of a light source of the table, in the program's own units."""
    output = row.output()
    found = {"source-watts": output.watts, "source-volts": row.test_volts}
    if row.kind == "discharge":
        kind = nearest_kind(output.watts)
        found |= {"settled-watts": kind.steady_watts, "strike-watts": kind.strike_watts}
    if output.flux:
        found["objective-flux"] = output.flux
    return found


def row_words(name: str, row: LightSource) -> str:
    """A light source of the table in words."""
    output = row.output()
    light = f", {units.show(output.flux, 'lm', 4)}" if output.flux else ""
    parts = [f"{name}: {row.kind} source, {output.watts:g} W{light} at {row.test_volts:g} V, cap {row.cap}"]
    inside = [word for word, there in (("starter", row.starter_in_base), ("ballast", row.ballast_in_base)) if there]
    parts += [f"{' and '.join(inside)} in its base"] if inside else []
    parts += ["holds mercury"] if row.mercury else []
    return "; ".join(parts)


def _circumstances(session: Session) -> Iterator[schema.Outcome]:
    for name, value in session.circumstances.items():
        yield session.base.questions[name].outcomes[value]


def _stamps(session: Session) -> Iterator[Mapping[str, float]]:
    """The figures of light sources as stamped: of the row that was named, or the watts alone."""
    rows = session.base.tables.light_sources
    for name in session.circumstances:
        answer = session.answers[name]
        if session.base.questions[name].table is None:
            continue
        if answer.said in rows:
            yield row_figures(rows[answer.said])
        elif answer.reading is not None:
            yield {"source-watts": answer.reading}


@cache
def _parsed(name: str, text: str) -> float:
    """A figure of the knowledge base, in the program's own unit; `kb check` says when it cannot be read."""
    return units.parse(text, GIVEN[name].unit)
