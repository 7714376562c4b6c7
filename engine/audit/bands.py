"""The outcomes of a reading must take in every plausible figure, each figure once.

A figure that falls between two bands is refused at the car, and one that fits two bands is sorted into whichever is
written first. `below` is the first figure that no longer counts, so the next band's `at_least` is the same figure.
An outcome without a band can only be picked by its word, so it belongs after those that have one.

Likely mend: give neighbouring bands the same figure, and leave the lowest open below and the highest open above.

Fails:

    questions:
      battery-rest:
        kind: reading
        title: volts at rest
        ask: How many volts?
        unit: V
        plausible: [0, 16]
        outcomes:
          low: {say: Below 12 V., below: 12}
          sound: {say: 12.4 V or more., at_least: 12.4}

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

import itertools
import math
from collections.abc import Iterator

from engine import schema
from engine.audit.survey import ERROR, Survey
from engine.problems import Problem

CODE = "bands"
RAW = True


def check(survey: Survey) -> Iterator[Problem]:
    """Problems with the bands of readings."""
    for name, question in survey.base.questions.items():
        if question.unit is not None:
            for outcome, key, message in _faulty(question):
                path = ("outcomes", outcome, key) if key else ("outcomes", outcome)
                yield Problem(survey.key("questions", name, *path), ERROR, CODE, f"{name}: {message}")


def _faulty(question: schema.Question) -> Iterator[tuple[str, str, str]]:
    """The outcome, its key, and what is wrong."""
    bands = {name: _band(outcome) for name, outcome in question.outcomes.items()}
    for name, (low, high) in bands.items():
        if low >= high:
            yield name, "below", f"`below: {high:g}` must be more than `at_least: {low:g}`"
            return
    narrow = {name: band for name, band in bands.items() if band != (-math.inf, math.inf)}
    names = list(bands)
    for name in names[: max((names.index(one) for one in narrow), default=len(names))]:
        if name not in narrow:
            yield name, "", f'"{name}" has no band and takes every figure; give it one, or move it to the end'
            return
    yield from _seams(question, sorted(narrow.items(), key=lambda item: item[1]))


def _seams(question: schema.Question, ordered: list[tuple[str, tuple[float, float]]]) -> Iterator[tuple[str, str, str]]:
    lowest, highest = question.plausible or (-math.inf, math.inf)
    if question.compute:
        lowest, highest = -math.inf, math.inf  # `plausible` speaks of what is read, the bands of what is computed
    if ordered and ordered[0][1][0] > lowest:
        yield ordered[0][0], "at_least", f"no outcome takes a figure below {ordered[0][1][0]:g}; leave `at_least` out"
    for (first, (_, end)), (second, (start, _)) in itertools.pairwise(ordered):
        if start > end:
            message = f'nothing takes a figure from {end:g} to {start:g}, between "{first}" and "{second}"'
            yield second, "at_least", f"{message}; write `at_least: {end:g}`"
        elif start < end:
            message = f'figures from {start:g} to {end:g} fit both "{first}" and "{second}"'
            key = "at_least" if question.outcomes[second].at_least is not None else "below"
            yield second, key, f"{message}; let one end where the other begins"
    if ordered and ordered[-1][1][1] <= highest and not math.isinf(ordered[-1][1][1]):
        yield ordered[-1][0], "below", f"no outcome takes a figure from {ordered[-1][1][1]:g}; leave `below` out"


def _band(outcome: schema.Outcome) -> tuple[float, float]:
    low = -math.inf if outcome.at_least is None else outcome.at_least
    return low, math.inf if outcome.below is None else outcome.below
