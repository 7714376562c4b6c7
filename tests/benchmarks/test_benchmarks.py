"""The benchmarks measure what they say: slices by rule, an optimum that is one, ways of asking in their order."""

from __future__ import annotations

import random
from collections.abc import Iterator

import numpy as np
import pytest

from engine.base import Base
from engine.planning import Candidate
from engine.session import Answer, Session
from tests.benchmarks import grown, policies, results, running, spoiling
from tests.benchmarks.optimum import optimum
from tests.benchmarks.slices import CLOSED, Slice, askable, chosen, complaints, merge, states
from tests.oracles import bases
from tests.shipped import shipped_base
from tests.small import small_base


def small() -> Slice:
    """A dead lamp of the small base, with four of its questions."""
    session = Session(small_base())
    for question, outcome in (("kind", "lamp"), ("complaint", "dead"), ("showing", "yes")):
        session = session.answer(question, Answer(outcome))
    shares = session.belief.shares
    candidates = tuple(askable(session, list(range(len(shares)))))[:4]
    return Slice("small", small_base(), session.circuit.faults, shares, candidates)


def problems() -> Iterator[Slice]:
    """Small problems on random bases."""
    for seed in range(12):
        base = bases.random_base(seed, faults=4)
        session = Session(base).answer("kind", Answer("lamp")).answer("complaint", Answer("dead"))
        shares = session.belief.shares
        candidates = tuple(askable(session, list(range(len(shares)))))[:4]
        yield Slice(str(seed), base, session.circuit.faults, shares, candidates)


@pytest.mark.parametrize("problem", [small(), *problems()], ids=lambda one: one.name)
def test_nothing_beats_the_optimum_and_nothing_the_bound(problem: Slice) -> None:
    """Perfect information <= optimum <= planner, one ahead, chart; and asking well never costs more than not asking."""
    best = optimum(problem).cost
    assert policies.bound(problem) <= best + 1e-9
    for way in (policies.planned, policies.one_ahead, policies.chart):
        assert best <= policies.follow(problem, way).cost + 1e-9
    acting = problem.act(problem.shares, CLOSED)
    assert policies.follow(problem, policies.planned).cost <= acting + 1e-9
    assert acting <= policies.replacing(problem) + 1e-9


def test_without_questions_the_optimum_is_to_act() -> None:
    """Nothing can be asked: the cost is that of repairing at once, and no question is counted."""
    known = small()
    silent = Slice("silent", known.base, known.faults, known.shares, ())
    found = optimum(silent)
    assert found.cost == pytest.approx(known.act(known.shares, CLOSED))
    assert (found.questions, found.states) == (0, 1)


def test_a_question_that_tells_all_is_asked_by_the_optimum() -> None:
    """Two faults, and one cheap question that tells which: it is asked once, and then the right part is repaired."""
    base = small_base()
    telling = Candidate("fuse-look", np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 1.0]]))
    problem = Slice("two", base, ("broken", "blown"), np.array([0.5, 0.49, 0.01]), (telling,))
    found = optimum(problem)
    assert found.questions == pytest.approx(1)
    assert found.cost < problem.act(problem.shares, CLOSED)


def test_slices_are_chosen_as_said() -> None:
    """Each technology twice, of its main complaints; the likeliest dozen faults; the table of answers within bounds."""
    base, most = shipped_base(), 20_000
    slices = chosen(base, 2, most=most)
    names = [
        f"{technology}, {complaint}"
        for technology in sorted(base.technologies)
        for complaint in _main(base, technology)
    ]
    assert [one.name for one in slices] == names
    for one in slices:
        assert len(one.faults) == 12
        assert one.shares.sum() == pytest.approx(1)
        assert 0 < len(one.candidates) <= 12
        assert one.states <= most
        for candidate in one.candidates:
            assert candidate.likelihood.sum(axis=0) == pytest.approx(np.ones(13))


def _main(base: Base, technology: str) -> list[str]:
    """The two complaints that most faults of a technology are listed for, counted another way."""
    table = base.technologies[technology].frequencies
    named = sorted({complaint for row in table.values() for complaint in row} - {"any"})
    return sorted(named, key=lambda complaint: -sum(complaint in row for row in table.values()))[:2]


def test_another_seed_gives_other_slices() -> None:
    """So that nothing is tuned to the slices shown; the same seed gives the same."""
    base = shipped_base()
    first, again, other = (chosen(base, 1, seed=seed, most=500) for seed in (1, 1, 2))
    assert [one.faults for one in first] == [one.faults for one in again]
    assert [one.faults for one in first] != [one.faults for one in other]
    assert all(one.name.split(", ")[1] in complaints(base, one.name.split(", ")[0]) for one in first)


def test_outcomes_that_change_the_odds_alike_count_as_one() -> None:
    """Rows in proportion are added; what they lead to is the same."""
    rows = np.array([[0.2, 0.4], [0.1, 0.2], [0.7, 0.4]])
    assert merge(rows) == pytest.approx(np.array([[0.3, 0.6], [0.7, 0.4]]))
    assert states([Candidate("a", rows), Candidate("b", merge(rows))]) == 12


def test_a_grown_base_holds_the_base_and_fires_no_otherwise() -> None:
    """Copies are about other lamps: the answers of this one fire the same rules with the same effects."""
    base = shipped_base()
    technology = sorted(base.technologies)[0]
    today, larger = grown.circuit(base, technology), grown.circuit(base, technology, 2_000)
    assert len(larger.rules) == 2_000
    assert larger.rules[: len(today.rules)] == today.rules
    assert not any(rule.effects for rule in larger.rules[len(today.rules) :])


def test_mutated_files_differ_and_come_again() -> None:
    """The same dice spoil a text alike, and nearly always they do spoil it."""
    text = "\n".join(f"key-{number}: value" for number in range(30))
    spoilt = [spoiling.mutated(random.Random(seed), text, [text]) for seed in range(60)]
    assert spoilt == [spoiling.mutated(random.Random(seed), text, [text]) for seed in range(60)]
    assert sum(one != text for one in spoilt) > 50


def test_the_page_keeps_what_was_not_measured_again() -> None:
    """Only the sections measured now are written anew, in their order, and nothing outside the marks changes."""
    page = f"before\n{results.BEGIN}\n\n### Speed\n\nold\n\n### Agreement\n\nold too\n\n{results.END}\nafter\n"
    written = results.merged(page, {"speed": "### Speed\n\nnew\n", "questioning": "### The questioning\n\nfirst\n"})
    assert written.startswith("before\n") and written.endswith(f"{results.END}\nafter\n")
    inside = written.split(results.BEGIN)[1].split(results.END)[0]
    assert [line for line in inside.splitlines() if line and not line.startswith("#")] == ["first", "new", "old too"]
    assert results.merged(written, {}) == written


def test_figures_are_told_in_lines() -> None:
    """Nested figures are indented, rows of a list stand each on a line."""
    lines = list(running.told({"cost": 1.23456, "inner": {"b": 2}, "rows": [{"x": 1}, {"x": 2}]}))
    assert [line.split() for line in lines] == [
        ["cost", "1.235"],
        ["inner:"],
        ["b", "2"],
        ["rows:"],
        ["x", "1"],
        ["x", "2"],
    ]
