"""The exact optimum of a slice: the least expected cost over every adaptive order of questions and repairs.

Dynamic programming over sets of answers, the largest sets last down and first up. What is open follows from which
questions have been asked, so a set of answers is all there is to a state. Pruned soundly: where even perfect knowledge,
bought for the least work of any question left, would cost more than acting now, nothing more is asked.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import prod

import numpy as np
from numpy.typing import NDArray

from engine.costs import Opened, access_minutes
from engine.expectations import Array
from tests.benchmarks.slices import CLOSED, Slice

CHUNK = 100_000
Asked = tuple[int, ...]


@dataclass(frozen=True)
class Outcome:
    """The cost and the number of questions that are expected, and how many sets of answers were looked at."""

    cost: float
    questions: float
    states: int


def optimum(problem: Slice) -> Outcome:
    """The best that any order of questions and repairs can do."""
    return _Table(problem).solve()


class _Table:
    """Every set of answers of a slice; for the questions asked, in order, an array with an axis an answer."""

    def __init__(self, problem: Slice) -> None:
        self.problem = problem
        self.rows = [candidate.likelihood for candidate in problem.candidates]
        self.names = [candidate.question for candidate in problem.candidates]
        self.acted: dict[Asked, Array] = {}
        self.goes_on: dict[Asked, NDArray[np.bool_]] = {}
        self.states = 0

    def solve(self) -> Outcome:
        """Down: which sets of answers can be worth a question more. Up: what the best question there costs."""
        count = len(self.names)
        for size in range(count + 1):
            for asked in combinations(range(count), size):
                self._look(asked)
        values: dict[Asked, tuple[Array, Array]] = {}
        for size in range(count, -1, -1):
            for asked in combinations(range(count), size):
                values[asked] = self._choose(asked, values)
            for gone in combinations(range(count), size + 1):
                values.pop(gone, None)
        cost, questions = values[()]
        return Outcome(float(cost), float(questions), self.states)

    def _shape(self, asked: Asked) -> tuple[int, ...]:
        return tuple(len(self.rows[index]) for index in asked)

    def _opened(self, asked: Asked) -> Opened:
        opened = CLOSED
        for index in asked:
            opened = self.problem.after(self.names[index], opened)
        return opened

    def _masses(self, asked: Asked, flat: NDArray[np.int64]) -> Array:
        masses = np.broadcast_to(self.problem.shares, (len(flat), len(self.problem.shares)))
        for index, at in zip(asked, np.unravel_index(flat, self._shape(asked)) if asked else (), strict=True):
            masses = masses * self.rows[index][at]
        return masses

    def _look(self, asked: Asked) -> None:
        """What acting costs at the sets of answers that can be met, and whether asking on can be cheaper."""
        shape, opened = self._shape(asked), self._opened(asked)
        acted, goes_on = np.zeros(prod(shape)), np.zeros(prod(shape), dtype=bool)
        needed = np.flatnonzero(self._met(asked))
        self.states += len(needed)
        left = [name for index, name in enumerate(self.names) if index not in asked]
        work = min((self._work(name, opened) for name in left), default=np.inf)
        for part in np.array_split(needed, len(needed) // CHUNK + 1):
            masses = self._masses(asked, part)
            acted[part] = self.problem.planner.expected_cost(masses, opened)
            goes_on[part] = acted[part] > self._perfect(masses, opened) + work * masses.sum(axis=1)
        self.acted[asked], self.goes_on[asked] = acted.reshape(shape), goes_on.reshape(shape)

    def _met(self, asked: Asked) -> NDArray[np.bool_]:
        """The sets of answers that one question more leads to, from where asking on can be cheaper."""
        if not asked:
            return np.ones(1, dtype=bool)
        met = np.zeros(self._shape(asked), dtype=bool)
        for axis in range(len(asked)):
            met |= np.expand_dims(self.goes_on[asked[:axis] + asked[axis + 1 :]], axis)
        return met

    def _work(self, question: str, opened: Opened) -> float:
        """What a question costs beside access: opening is paid once, whether a question or the repair needs it."""
        planner = self.problem.planner
        access = access_minutes(planner.base, planner.prices, planner.base.questions[question].access, opened)
        return self.problem.fee(question, opened) - access * planner.prices.minute(planner.base)

    def _perfect(self, masses: Array, opened: Opened) -> Array:
        """What the right repair alone costs; the unknown is handed on."""
        planner = self.problem.planner
        each = np.append(planner.costs(opened), planner.prices.setting(planner.base, "referral-price"))
        bound: Array = masses @ (planner.grouping @ each)
        return bound

    def _choose(self, asked: Asked, values: dict[Asked, tuple[Array, Array]]) -> tuple[Array, Array]:
        """The least cost at each set of answers, and the questions that go with it."""
        best, questions = self.acted.pop(asked), np.zeros(self._shape(asked))
        goes_on = self.goes_on[asked]
        if not goes_on.any():
            return best, questions
        masses = np.zeros(self._shape(asked))
        flat = np.flatnonzero(goes_on)
        for part in np.array_split(flat, len(flat) // CHUNK + 1):
            masses.ravel()[part] = self._masses(asked, part).sum(axis=1)
        opened = self._opened(asked)
        for index, axis, more in _one_more(asked, len(self.names)):
            cost, count = values[more]
            total = cost.sum(axis=axis) + self.problem.fee(self.names[index], opened) * masses
            better = goes_on & (total < best)
            best = np.where(better, total, best)
            questions = np.where(better, count.sum(axis=axis) + masses, questions)
        return best, questions


def _one_more(asked: Asked, count: int) -> Iterator[tuple[int, int, Asked]]:
    """Each question not asked yet, the axis it takes, and the questions asked with it."""
    for index in range(count):
        if index not in asked:
            axis = sum(1 for other in asked if other < index)
            yield index, axis, (*asked[:axis], index, *asked[axis:])
