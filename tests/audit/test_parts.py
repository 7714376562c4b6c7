"""Laws of the parts that checks are made of: bands take every figure once, rings are found where there are any."""

from __future__ import annotations

import dataclasses
import math

from hypothesis import given
from hypothesis import strategies as st

from engine import schema
from engine.audit import bands, shares
from engine.audit.loops import rings
from engine.audit.survey import Survey
from engine.loading import Reader
from engine.yamltree import read_text
from tests.audit.test_worlds import survey

EDGES = st.none() | st.integers(0, 6)


def looked_over(question: schema.Question) -> Survey:
    """A survey in which this is the only question."""
    reader = Reader()
    reader.add(read_text("questions: {odd: {}}", "odd.yaml"))
    base = dataclasses.replace(survey().base, questions={"odd": question}, places=reader.places)
    return Survey(base, reader.trees)


def reading(edges: list[tuple[int | None, int | None]]) -> schema.Question:
    """A reading from 0 to 6 with these bands."""
    outcomes = {
        f"band-{index}": {"say": "So.", "at_least": low, "below": high} for index, (low, high) in enumerate(edges)
    }
    rest = {"kind": "reading", "title": "volts", "ask": "How many?", "unit": "V", "plausible": [0, 6]}
    return schema.Question.model_validate({**rest, "outcomes": outcomes})


@given(st.lists(st.tuples(EDGES, EDGES), min_size=2, max_size=4))
def test_bands_are_clean_exactly_when_every_figure_fits_once(edges: list[tuple[int | None, int | None]]) -> None:
    """Compared with trying figures out: each fits one band, open ones at the end apart, and none is upside down."""
    spans = [(-math.inf if low is None else low, math.inf if high is None else high) for low, high in edges]
    while spans and spans[-1] == (-math.inf, math.inf):
        spans.pop()  # takes what is left over, and nothing is
    fits = {half: sum(low <= half / 2 < high for low, high in spans) for half in range(-2, 15)}
    once = all(count == 1 if 0 <= half <= 12 else count < 2 for half, count in fits.items())
    sound = once and all(low < high for low, high in spans)
    found = list(bands.check(looked_over(reading(edges))))
    assert (found == []) == sound, found


@given(st.lists(st.none() | st.floats(0.01, 0.99), min_size=2, max_size=5))
def test_shares_without_an_error_leave_room_for_every_outcome(given_shares: list[float | None]) -> None:
    """Where no error is raised, each outcome can be seen, and together they are one within rounding or a warning."""
    outcomes = {f"o{index}": {"say": "So.", "usual": share} for index, share in enumerate(given_shares)}
    question = schema.Question.model_validate({"kind": "test", "title": "look", "ask": "How?", "outcomes": outcomes})
    found = list(shares.check(looked_over(question)))
    told = [share for share in given_shares if share is not None]
    if not any(problem.severity == "error" for problem in found):
        assert sum(told) <= 1 + shares.ROUNDING and (len(told) == len(given_shares) or sum(told) < 1)
    if not found and len(told) == len(given_shares):
        assert abs(sum(told) - 1) <= shares.ROUNDING + 1e-9


@given(st.dictionaries(st.sampled_from("abcdef"), st.lists(st.sampled_from("abcdef"), max_size=3)))
def test_rings_are_found_exactly_where_there_are_any(arrows: dict[str, list[str]]) -> None:
    """Compared with taking away what leads nowhere, again and again; each ring found leads back to its start."""
    left = dict(arrows)
    while any(not set(after) & left.keys() for after in left.values()):
        left = {name: after for name, after in left.items() if set(after) & left.keys()}
    found = list(rings(arrows))
    assert bool(found) == bool(left)
    for ring in found:
        assert all(then in arrows[name] for name, then in zip(ring, [*ring[1:], ring[0]], strict=True))
