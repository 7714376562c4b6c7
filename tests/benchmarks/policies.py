"""Ways of asking, and what each is expected to cost on a slice: every answer that can come is followed.

The fixed chart is the textbook's: what needs no opening first, then quickest first; a question is passed over when no
answer to it would change which repair is tried first; repairs begin once one of them holds `SURE` of the odds.
Replacing in order is every repair in turn, by probability over cost, until one cures; only then is the rest handed on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from engine.costs import Opened
from engine.expectations import Array
from engine.planning import MARGIN, Candidate
from tests.benchmarks.slices import CLOSED, Slice

SURE = 0.95
FAINT_PATH = 1e-6  # a set of answers that comes less often is acted on, whatever the way of asking

Choose = Callable[[Slice, Array, list[Candidate], Opened], Candidate | None]


@dataclass(frozen=True)
class Expected:
    """What a way of asking is expected to cost, and how many questions it takes."""

    cost: float
    questions: float


def follow(problem: Slice, choose: Choose) -> Expected:
    """The expected cost and number of questions of a way of asking."""
    kept: dict[frozenset[tuple[str, int]], Expected] = {}

    def at(answers: frozenset[tuple[str, int]], masses: Array, opened: Opened) -> Expected:
        if answers not in kept:
            kept[answers] = step(answers, masses, opened)
        return kept[answers]

    def step(answers: frozenset[tuple[str, int]], masses: Array, opened: Opened) -> Expected:
        total = float(masses.sum())
        asked = {name for name, _ in answers}
        left = [one for one in problem.candidates if one.question not in asked]
        best = choose(problem, masses / total, left, opened) if left and total > FAINT_PATH else None
        if best is None:
            return Expected(problem.act(masses, opened), 0.0)
        cost, questions = total * problem.fee(best.question, opened), total
        after = problem.after(best.question, opened)
        for outcome, row in enumerate(best.likelihood):
            then = at(answers | {(best.question, outcome)}, masses * row, after)
            cost, questions = cost + then.cost, questions + then.questions
        return Expected(cost, questions)

    return at(frozenset(), problem.shares, CLOSED)


def planned(problem: Slice, shares: Array, left: list[Candidate], opened: Opened) -> Candidate | None:
    """The planner's choice, as a session makes it."""
    best = problem.planner.plan(shares, left, opened).best
    return next((one for one in left if best and one.question == best.question), None)


def one_ahead(problem: Slice, shares: Array, left: list[Candidate], opened: Opened) -> Candidate | None:
    """The question that saves most if repairs begin after it."""

    def value(one: Candidate) -> float:
        then = problem.planner.expected_cost(one.likelihood * shares, problem.after(one.question, opened)).sum()
        return problem.fee(one.question, opened) + float(then)

    best = min(left, key=value)
    return best if value(best) < problem.act(shares, opened) - MARGIN else None


def chart(problem: Slice, shares: Array, left: list[Candidate], opened: Opened) -> Candidate | None:
    """The next question of the fixed chart that can change what is tried first."""
    planner = problem.planner
    groups = shares @ planner.grouping
    if groups.max() >= SURE:
        return None

    def first(masses: Array) -> int:
        return int(np.argmax((masses @ planner.grouping)[:-1] / planner.costs(opened)))

    def page(one: Candidate) -> tuple[int, float, str]:
        question = problem.base.questions[one.question]
        return len(problem.after(one.question, CLOSED)), question.minutes, one.question

    for one in sorted(left, key=page):
        if len({first(shares * row) for row in one.likelihood}) > 1:
            return one
    return None


def replacing(problem: Slice) -> float:
    """The expected cost of every repair in turn until one cures."""
    planner = problem.planner
    groups, costs = problem.shares @ planner.grouping, planner.costs(CLOSED)
    total, left = 0.0, 1.0
    for index in np.argsort(-groups[:-1] / costs, kind="stable"):
        total += left * float(costs[index])
        left -= float(groups[index])
    return total + left * planner.prices.setting(planner.base, "referral-price")


def bound(problem: Slice) -> float:
    """The expected cost with the fault known beforehand: no way of asking can do with less."""
    planner = problem.planner
    referral = planner.prices.setting(planner.base, "referral-price")
    return float(problem.shares @ planner.grouping @ np.append(planner.costs(CLOSED), referral))
