"""The choice of the next step: the question whose cost is repaid by what its answers save, two and three ahead.

Expected cost of repair after Heckerman, Breese and Rommelse, Decision-theoretic troubleshooting, CACM 38(3), 1995
(formula from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

import numpy as np

from engine.base import Base
from engine.costs import Opened, Prices, open_up, question_cost, repair_cost
from engine.expectations import Array

Key = TypeVar("Key", str, tuple[str, ...])
WIDTH = 12  # how many first questions are looked at two deep
CLOSER = 6  # how many of those three deep: tests behind one cover pay together, and two ahead does not see it
SECONDS = 3  # how many second questions are then tried after each answer, by what they save alone
FAINT = 0.001  # a fault with a smaller share is planned for as if it were the unknown
TELLING = 1.02  # a question whose likelihoods differ by less than this ratio says nothing
MARGIN = 1e-6
ONES_OWN = ("normal", "setting")  # kinds of fault that are put right without opening a lamp under guarantee


@dataclass(frozen=True)
class Candidate:
    """A question that could be asked now: the likelihood of each outcome under each fault, the unknown last."""

    question: str
    likelihood: Array


@dataclass(frozen=True)
class Choice:
    """A question with what it costs and the expected cost of the whole job if it is asked next."""

    question: str
    cost: float
    value: float


@dataclass(frozen=True)
class Plan:
    """What acting now is expected to cost, and the questions worth asking, best first."""

    act_now: float
    choices: tuple[Choice, ...]

    @property
    def best(self) -> Choice | None:
        """The question to ask, or None when none is worth its cost."""
        return self.choices[0] if self.choices else None

    @property
    def value(self) -> float:
        """The expected cost of the job when the best is done."""
        return self.choices[0].value if self.choices else self.act_now


def repair_left(base: Base, fault: str, done: Collection[str] = ()) -> tuple[str, ...]:
    """The repairs a fault still needs; all of them again when all are done, since the part may have been a dud."""
    needed = base.faults[fault].repair
    return tuple(name for name in needed if name not in done) or needed


def repairs_of(base: Base, faults: Sequence[str], done: Collection[str] = ()) -> tuple[tuple[str, ...], ...]:
    """The different repairs of faults; faults with the same repair need no telling apart."""
    return tuple(dict.fromkeys(repair_left(base, fault, done) for fault in faults))


@dataclass(frozen=True, eq=False)
class Planner:
    """Costs and repairs of some faults under one set of prices. Arrays have a column a fault, and the unknown last.

    `done` are repairs that were done already, and did not cure. `covered` says that somebody else mends at no charge:
    then only what is normal or a setting is one's own to put right.
    """

    base: Base
    prices: Prices
    faults: tuple[str, ...]
    done: frozenset[str] = frozenset()
    covered: bool = False
    _known: dict[object, float] = field(default_factory=dict, repr=False)  # prices worked out before

    @cached_property
    def repairs(self) -> tuple[tuple[str, ...], ...]:
        """The different repairs of the faults that are not handed on."""
        kept = [one for one in self.faults if not self.covered or self.base.faults[one].kind in ONES_OWN]
        return repairs_of(self.base, kept, self.done)

    @cached_property
    def grouping(self) -> Array:
        """A matrix that sums the shares of faults by repair; last those that are handed on, the unknown among them."""
        matrix = np.zeros((len(self.faults) + 1, len(self.repairs) + 1))
        columns = {repair: column for column, repair in enumerate(self.repairs)}
        for row, fault in enumerate(self.faults):
            matrix[row, columns.get(repair_left(self.base, fault, self.done), -1)] = 1
        matrix[-1, -1] = 1
        return matrix

    @cached_property
    def _costs(self) -> dict[Opened, Array]:
        return {}

    def costs(self, opened: Opened) -> Array:
        """The cost of each repair from a state of access."""
        found = self._costs.get(opened)
        if found is None:
            each = [self._once(repair_cost, names, opened) for names in self.repairs]
            found = self._costs[opened] = np.maximum(np.array(each), 0.01)
        return found

    def _once(self, price: Callable[[Base, Prices, Key, Opened], float], of: Key, opened: Opened) -> float:
        """A price from a state of access, worked out once for this planner and those narrowed from it."""
        key = price, of, opened
        if key not in self._known:
            self._known[key] = price(self.base, self.prices, of, opened)
        return self._known[key]

    def expected_cost(self, masses: Array, opened: Opened) -> Array:
        """The expected cost of repairing one after another until cured, for each row of masses of faults and unknown.

        Repairs go in order of probability over cost; at the best moment what is left is handed on, at the price of
        referral beside the repair itself. A row may sum to less than one: the cost is then that row's part of it.
        """
        groups = masses @ self.grouping
        totals = groups.sum(axis=1)
        referral = self.prices.setting(self.base, "referral-price")
        if not self.repairs:
            unhelped: Array = referral * totals  # nothing is known of the lamp yet
            return unhelped
        known, costs = np.ascontiguousarray(groups[:, :-1]), self.costs(opened)
        order = np.argsort(known / -costs, axis=1)
        cells = order + np.arange(0, known.size, known.shape[1])[:, None]
        left = totals[:, None] - np.cumsum(known.take(cells), axis=1)
        beyond = np.cumsum(costs.take(order) * left, axis=1)  # what trying costs beyond the repair that cures
        beyond += referral * left
        result: Array = known @ costs + np.minimum(beyond.min(axis=1), referral * totals)
        return result

    def plan(self, shares: Array, candidates: Sequence[Candidate], opened: Opened, width: int = WIDTH) -> Plan:
        """The questions worth their cost, best first, by the expected cost of the job two questions ahead.

        With the full width the best few are looked at three ahead.
        """
        planner, shares, telling = self._narrow(shares, candidates)
        act_now = float(planner.expected_cost(shares[None, :], opened)[0])
        steps = [_Step(planner, candidate, opened) for candidate in telling]
        ranked = sorted(steps, key=lambda step: (step.fee + planner._then_act(step, shares), step.question))
        values = {step: step.fee + planner._then_ask(step, shares, telling) for step in ranked[:width]}
        if width >= WIDTH:
            likely = [Candidate(step.question, step.likelihood) for step in ranked[:width]]
            for step in sorted(values, key=lambda step: (values[step], step.question))[:CLOSER]:
                values[step] = min(values[step], step.fee + planner._then_plan(step, shares, likely))
        deep = [Choice(step.question, step.fee, value) for step, value in values.items()]
        worth = [choice for choice in deep if choice.value < act_now - MARGIN]
        return Plan(act_now, tuple(sorted(worth, key=lambda choice: (choice.value, choice.question))))

    def value(self, shares: Array, candidates: Sequence[Candidate], opened: Opened) -> float:
        """The expected cost of the job when at most one more question is asked."""
        planner, shares, telling = self._narrow(shares, candidates)
        return float(planner._best_after(shares[None, :], telling, opened)[0])

    def _narrow(self, shares: Array, candidates: Sequence[Candidate]) -> tuple[Planner, Array, list[Candidate]]:
        """The same problem over the faults that matter, with the questions that say something about them."""
        kept = np.flatnonzero(shares[:-1] >= FAINT)
        columns = np.append(kept, len(shares) - 1)
        narrow = shares[columns].copy()
        narrow[-1] += 1 - narrow.sum()
        faults = tuple(self.faults[index] for index in kept)
        planner = Planner(self.base, self.prices, faults, self.done, self.covered, self._known)
        if not candidates:
            return planner, narrow, []
        rows = np.concatenate([candidate.likelihood for candidate in candidates])[:, columns]
        differing = rows.max(axis=1) > TELLING * rows.min(axis=1)
        telling, start = [], 0
        for candidate in candidates:
            end = start + len(candidate.likelihood)
            if differing[start:end].any():
                telling.append(Candidate(candidate.question, rows[start:end]))
            start = end
        return planner, narrow, telling

    def _then_act(self, step: _Step, shares: Array) -> float:
        return float(self.expected_cost(step.likelihood * shares, step.opened).sum())

    def _then_ask(self, step: _Step, shares: Array, candidates: Sequence[Candidate]) -> float:
        left = [candidate for candidate in candidates if candidate.question != step.question]
        return float(self._best_after(step.likelihood * shares, left, step.opened).sum())

    def _then_plan(self, step: _Step, shares: Array, candidates: Sequence[Candidate]) -> float:
        """As `_then_ask`, with one more question after each of the likeliest second ones."""
        left = [candidate for candidate in candidates if candidate.question != step.question]
        masses = step.likelihood * shares
        best = self.expected_cost(masses, step.opened)
        if not left:
            return float(best.sum())
        alone = np.stack(self._asked(masses, left, step.opened), axis=1)
        best = np.minimum(best, alone.min(axis=1))
        tried = np.argsort(alone, axis=1, kind="stable")[:, :SECONDS]
        for number in np.unique(tried):
            second, rows = _Step(self, left[number], step.opened), np.flatnonzero((tried == number).any(axis=1))
            joint = (masses[rows, None, :] * second.likelihood[None, :, :]).reshape(-1, masses.shape[1])
            rest = [*left[:number], *left[number + 1 :]]
            costs = self._best_after(joint, rest, second.opened).reshape(len(rows), -1).sum(axis=1)
            best[rows] = np.minimum(best[rows], costs + second.fee * masses[rows].sum(axis=1))
        return float(best.sum())

    def _best_after(self, masses: Array, candidates: Sequence[Candidate], opened: Opened) -> Array:
        """For each row of masses: act, or ask one more question and then act, whichever is expected to cost less."""
        best = self.expected_cost(masses, opened)
        cheapest: Array = np.min([best, *self._asked(masses, candidates, opened)], axis=0)
        return cheapest

    def _asked(self, masses: Array, candidates: Sequence[Candidate], opened: Opened) -> list[Array]:
        """For each candidate, in order, the expected cost of asking it and then acting, for each row of masses."""
        totals = masses.sum(axis=1)
        steps = [_Step(self, candidate, opened) for candidate in candidates]
        by_access: dict[Opened, list[int]] = {}
        for number, step in enumerate(steps):
            by_access.setdefault(step.opened, []).append(number)
        found: dict[int, Array] = {}
        for then, numbers in by_access.items():
            likelihood = np.concatenate([steps[number].likelihood for number in numbers])
            joint = masses[:, None, :] * likelihood[None, :, :]
            costs = self.expected_cost(joint.reshape(-1, joint.shape[2]), then).reshape(joint.shape[:2])
            starts = np.cumsum([0, *(len(steps[number].likelihood) for number in numbers[:-1])])
            summed = np.add.reduceat(costs, starts, axis=1)
            for place, number in enumerate(numbers):
                found[number] = summed[:, place] + steps[number].fee * totals
        return [found[number] for number in range(len(candidates))]


class _Step:
    """A candidate asked from a state of access: its fee, and what is open afterwards."""

    def __init__(self, planner: Planner, candidate: Candidate, opened: Opened) -> None:
        self.question, self.likelihood = candidate.question, candidate.likelihood
        self.fee = planner._once(question_cost, candidate.question, opened)
        self.opened = open_up(planner.base, planner.base.questions[candidate.question].access, opened)


def settle(base: Base, answered: Mapping[str, object]) -> Opened:
    """What is open once the answered questions have been done."""
    opened: Opened = frozenset()
    for name in answered:
        opened = open_up(base, base.questions[name].access, opened)
    return opened
