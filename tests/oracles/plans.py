"""Plans the slow way: every order of repairs and every moment of handing on; questions followed by plain recursion."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Masses = dict[str, float]  # by repair; what no repair cures under the empty name


@dataclass(frozen=True)
class Test:
    """A question: its own price, the states of access it needs, and for each outcome P(outcome | fault) by fault."""

    __test__ = False  # not one of pytest's

    fee: float
    needs: frozenset[str]
    rows: tuple[Mapping[str, float], ...]


@dataclass(frozen=True)
class Problem:
    """Faults with their repairs, repairs with price and access, the price of each state of access, and of referral."""

    repair_of: Mapping[str, str]
    price: Mapping[str, float]
    needs: Mapping[str, frozenset[str]]
    opening: Mapping[str, float]
    referral: float
    tests: Mapping[str, Test]

    def way(self, needs: frozenset[str], opened: frozenset[str]) -> float:
        """What it costs to open what is needed and not open yet."""
        return sum(self.opening[state] for state in needs - opened)


def act(problem: Problem, masses: Mapping[str, float], opened: frozenset[str]) -> float:
    """The least expected cost of acting: the best of all orders of repairs and all moments of handing on."""
    groups: Masses = dict.fromkeys(problem.price, 0.0)
    for fault, mass in masses.items():
        name = problem.repair_of.get(fault, "")
        groups[name] = groups.get(name, 0.0) + mass
    costs = {name: problem.price[name] + problem.way(problem.needs[name], opened) for name in problem.price}
    return least(groups, costs, problem.referral)


def least(groups: Mapping[str, float], costs: Mapping[str, float], referral: float) -> float:
    """As `act`, of repairs with their masses and costs. Handed on, a fault costs its repair and the referral."""
    orders = itertools.permutations(costs)
    return min(cost(groups, costs, referral, order, tried) for order in orders for tried in range(len(costs) + 1))


def cost(
    groups: Mapping[str, float], costs: Mapping[str, float], referral: float, order: Sequence[str], tried: int
) -> float:
    """The expected cost of trying the first so many repairs of an order and then handing on."""
    left, total = sum(groups.values()), 0.0
    for name in order[:tried]:
        total += left * costs[name]
        left -= groups[name]
    return total + sum(groups[name] * costs[name] for name in order[tried:]) + left * referral


def ask(
    problem: Problem, masses: Mapping[str, float], opened: frozenset[str], depth: int, but: frozenset[str] = frozenset()
) -> float:
    """The least expected cost when at most so many more questions may be asked, none twice."""
    best = act(problem, masses, opened)
    if depth == 0:
        return best
    return min([best, *(first(problem, masses, opened, depth, name, but) for name in problem.tests if name not in but)])


def first(
    problem: Problem,
    masses: Mapping[str, float],
    opened: frozenset[str],
    depth: int,
    name: str,
    but: frozenset[str] = frozenset(),
) -> float:
    """The expected cost when this question is asked next, and then at most so many less one."""
    test = problem.tests[name]
    fee = (test.fee + problem.way(test.needs, opened)) * sum(masses.values())
    then = opened | test.needs
    after = ({fault: mass * row[fault] for fault, mass in masses.items()} for row in test.rows)
    return fee + sum(ask(problem, one, then, depth - 1, but | {name}) for one in after)
