"""The choice of the next step: the question whose cost is repaid by what its answers save, two questions ahead.

Expected cost of repair after Heckerman, Breese and Rommelse, Decision-theoretic troubleshooting, CACM 38(3), 1995
(formula from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from engine.base import Base
from engine.belief import Belief
from engine.costs import Opened, Prices, open_up, question_cost, repair_cost
from engine.expectations import Array

WIDTH = 12  # how many first questions are looked at two deep
MARGIN = 1e-6


@dataclass(frozen=True)
class Candidate:
    """A question that could be asked now, with the likelihood of each of its outcomes under each fault."""

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


class Planner:
    """Costs and repairs of one circuit under one set of prices."""

    def __init__(self, belief: Belief, prices: Prices) -> None:
        self.base: Base = belief.circuit.base
        self.prices = prices
        self.faults = belief.circuit.faults
        self._costs: dict[Opened, Array] = {}

    @cached_property
    def repairs(self) -> tuple[tuple[str, ...], ...]:
        """The different repairs of the faults; faults with the same repair need no telling apart."""
        return tuple(dict.fromkeys(self.base.faults[fault].repair for fault in self.faults))

    @cached_property
    def grouping(self) -> Array:
        """A matrix that sums the shares of faults by repair, the unknown last."""
        matrix = np.zeros((len(self.faults) + 1, len(self.repairs) + 1))
        for row, fault in enumerate(self.faults):
            matrix[row, self.repairs.index(self.base.faults[fault].repair)] = 1
        matrix[-1, -1] = 1
        return matrix

    def costs(self, opened: Opened) -> Array:
        """The cost of each repair from a state of access."""
        found = self._costs.get(opened)
        if found is None:
            each = [repair_cost(self.base, self.prices, names, opened) for names in self.repairs]
            found = self._costs[opened] = np.maximum(np.array(each), 0.01)
        return found

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
        known, costs = groups[:, :-1], self.costs(opened)
        order = np.argsort(-known / costs, axis=1, kind="stable")
        mass, cost = np.take_along_axis(known, order, axis=1), costs[order]
        solved = np.cumsum(mass, axis=1)
        left_before = totals[:, None] - (solved - mass)
        spent = np.cumsum(cost * left_before, axis=1)
        handed = np.cumsum(mass * cost, axis=1)
        later = handed[:, -1:] - handed
        stop_after = spent + later + referral * (totals[:, None] - solved)
        at_once = handed[:, -1] + referral * totals
        result: Array = np.minimum(stop_after.min(axis=1), at_once)
        return result

    def plan(self, belief: Belief, candidates: Sequence[Candidate], opened: Opened) -> Plan:
        """The questions worth their cost, best first, by the expected cost of the job two questions ahead."""
        now = belief.shares[None, :]
        act_now = float(self.expected_cost(now, opened)[0])
        shallow = sorted(
            (self._choice(candidate, belief.shares, opened, ()) for candidate in candidates),
            key=lambda choice: (choice.value, choice.question),
        )
        by_name = {candidate.question: candidate for candidate in candidates}
        deep = [self._choice(by_name[choice.question], belief.shares, opened, candidates) for choice in shallow[:WIDTH]]
        worth = [choice for choice in deep if choice.value < act_now - MARGIN]
        return Plan(act_now, tuple(sorted(worth, key=lambda choice: (choice.value, choice.question))))

    def value(self, shares: Array, candidates: Sequence[Candidate], opened: Opened) -> float:
        """The expected cost of the job when at most one more question is asked."""
        return float(self._after(shares[None, :], candidates, opened, "")[0])

    def _choice(self, candidate: Candidate, shares: Array, opened: Opened, further: Sequence[Candidate]) -> Choice:
        cost = question_cost(self.base, self.prices, candidate.question, opened)
        then = open_up(self.base, self.base.questions[candidate.question].access, opened)
        masses = candidate.likelihood * shares
        if further:
            value = float(self._after(masses, further, then, candidate.question).sum())
        else:
            value = float(self.expected_cost(masses, then).sum())
        return Choice(candidate.question, cost, cost + value)

    def _after(self, masses: Array, candidates: Iterable[Candidate], opened: Opened, but: str) -> Array:
        """For each row of masses: act, or ask one more question and then act, whichever is expected to cost less."""
        best = self.expected_cost(masses, opened)
        totals = masses.sum(axis=1)
        by_access: dict[Opened, list[Candidate]] = {}
        for candidate in candidates:
            if candidate.question != but:
                then = open_up(self.base, self.base.questions[candidate.question].access, opened)
                by_access.setdefault(then, []).append(candidate)
        for then, group in by_access.items():
            likelihood = np.concatenate([candidate.likelihood for candidate in group])
            joint = masses[:, None, :] * likelihood[None, :, :]
            costs = self.expected_cost(joint.reshape(-1, joint.shape[2]), then).reshape(joint.shape[:2])
            starts = np.cumsum([0, *(len(candidate.likelihood) for candidate in group[:-1])])
            sums = np.add.reduceat(costs, starts, axis=1)
            fees = np.array([question_cost(self.base, self.prices, one.question, opened) for one in group])
            best = np.minimum(best, (sums + fees[None, :] * totals[:, None]).min(axis=1))
        return best


def settle(base: Base, opened: Opened, answered: Mapping[str, object]) -> Opened:
    """What is open once the answered questions have been done."""
    for name in answered:
        opened = open_up(base, base.questions[name].access, opened)
    return opened
