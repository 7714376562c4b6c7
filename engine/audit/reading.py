"""A reading needs a unit, limits and computation that the program knows, and only a reading may have them.

The unit decides what a person may type; the limits catch a slipped decimal point; the computation is one of a closed
list, and what it is given must be a number or another reading that measures the same thing.

Likely mend: take the unit, the computation or the given from the list in the message.

Fails:

    questions:
      battery-rest:
        kind: reading
        title: volts at rest
        ask: How many volts?
        unit: voltage
        plausible: [0, 16]
        outcomes:
          low: {say: Below 12 V., below: 12}
          sound: {say: 12 V or more., at_least: 12}

Passes:

    questions:
      battery-rest:
        kind: reading
        title: volts at rest
        ask: How many volts?
        tools: meter
        cautions: live-12-volts
        unit: V
        plausible: [0, 16]
        outcomes:
          low: {say: Below 12 V., below: 12}
          sound: {say: 12 V or more., at_least: 12}
"""

from __future__ import annotations

from collections.abc import Iterator

from engine import schema
from engine.audit.survey import ERROR, Survey
from engine.physics import sorting, units
from engine.physics.computed import GIVEN
from engine.problems import Problem, nearest

CODE = "reading"
RAW = True
_ONLY_READINGS = ("plausible", "expected", "compute", "given", "also", "first", "across", "refusal")


def check(survey: Survey) -> Iterator[Problem]:
    """Problems with what makes a reading a reading."""
    for name, question in survey.base.questions.items():
        numeric = question.kind == "reading" or (question.kind == "circumstance" and question.unit is not None)
        found = _reading(survey, question) if numeric else _other(question)
        for path, message in (*found, *_figures(survey, question)):
            yield Problem(survey.at("questions", name, *path), ERROR, CODE, f"{name}: {message}")


def _other(question: schema.Question) -> Iterator[tuple[tuple[str, ...], str]]:
    for key in _ONLY_READINGS:
        if getattr(question, key):
            yield (key,), f"only a reading has `{key}:`, and this is a {question.kind}; take it out"
    for outcome, entry in question.outcomes.items():
        for key in ("at_least", "below"):
            if getattr(entry, key) is not None:
                yield ("outcomes", outcome, key), f"only a reading has `{key}:`; this is a {question.kind}"


def _reading(survey: Survey, question: schema.Question) -> Iterator[tuple[tuple[str, ...], str]]:
    if question.unit is None:
        yield (), "a reading needs `unit:`, as in `unit: V`"
    elif not _dimension(question.unit):
        yield ("unit",), f'"{question.unit}" is no unit known here{nearest(question.unit, units.UNITS)}'
    yield from _ranges(question)
    if question.compute and question.compute not in sorting.COMPUTATIONS:
        hint = nearest(question.compute, sorting.COMPUTATIONS)
        yield ("compute",), f'there is no computation "{question.compute}"{hint}'
    if question.given and not question.compute:
        yield ("given",), "`given` is for a computation; name it with `compute:`, or take this out"
    for name, word in question.given.items():
        yield from ((("given", name), message) for message in _given(survey, name, word))
    for unit, conversion in question.also.items():
        if not _dimension(unit) or conversion not in sorting.CONVERSIONS:
            yield ("also", unit), f"`also` takes a unit and a conversion; known: {', '.join(sorting.CONVERSIONS)}"


def _ranges(question: schema.Question) -> Iterator[tuple[tuple[str, ...], str]]:
    if question.plausible is None:
        yield (), "a reading needs `plausible: [lowest, highest]`, so that a slipped decimal point is caught"
    elif question.plausible[0] >= question.plausible[1]:
        yield ("plausible",), "`plausible` runs from the lowest to the highest figure; these are the wrong way round"
    elif question.expected and not (
        question.plausible[0] <= question.expected[0] < question.expected[1] <= question.plausible[1]
    ):
        yield ("expected",), f"`expected` must lie within `plausible`, {list(question.plausible)}, lowest first"


def _figures(survey: Survey, question: schema.Question) -> Iterator[tuple[tuple[str, ...], str]]:
    for outcome, entry in question.outcomes.items():
        at = ("outcomes", outcome, "figures")
        if entry.figures and question.kind != "circumstance":
            yield at, f"only a circumstance brings `figures:`, and this is a {question.kind}"
        for name, word in entry.figures.items():
            yield from (((*at, name), message) for message in _given(survey, name, word))


def _given(survey: Survey, name: str, word: str) -> Iterator[str]:
    wanted = GIVEN.get(name)
    if wanted is None:
        yield f'no computation is given "{name}"{nearest(name, GIVEN)}'
        return
    other = survey.base.questions.get(word)
    if other is None:
        yield from _written(word, wanted.unit)
    elif other.unit is None:
        yield f'"{word}" is no reading, so it gives no figure; name a reading or write a number'
    elif other.unit and _dimension(other.unit) not in ("", _dimension(wanted.unit)):
        yield f'"{name}" is given in {wanted.unit}; "{word}" is read in {other.unit}, which is another quantity'


def _written(text: str, unit: str) -> Iterator[str]:
    try:
        units.parse(text, unit)
    except ValueError as exc:
        yield str(exc)


def _dimension(symbol: str) -> str:
    """What a unit measures; nothing when there is no such unit to be typed."""
    try:
        return units.unit(symbol).dimension
    except ValueError:
        return ""
