"""What is expected under each fault, read off the rules: P(outcome | fault), given the circumstances."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from engine._experta import Leaf
from engine.base import Base
from engine.grounding import Circuit, Effect, GroundRule
from engine.reasoning import Fact, reason

Array = NDArray[np.float64]
Told = tuple[tuple[str, str], ...]


@lru_cache(maxsize=4096)
def usual(base: Base, question: str) -> Array:
    """How often each outcome is seen when the fault has nothing to do with the question; sums to one. Not writable."""
    shares = [outcome.usual for outcome in base.questions[question].outcomes.values()]
    given = sum(share for share in shares if share is not None)
    open_ = sum(1 for share in shares if share is None)
    rest = max(1 - given, 0.0) / open_ if open_ else 0.0
    raw = np.array([rest if share is None else share for share in shares])
    normal: Array = raw / raw.sum()
    normal.setflags(write=False)  # one array for all that ask
    return normal


def ratio(base: Base, effect: Effect) -> float:
    """The factor an effect puts on a fault's odds: 0 excludes, above 1 raises, below 1 lowers."""
    if effect.kind == "excludes":
        return 0.0
    if effect.kind == "proves":
        return base.setting("proof")
    strength = base.setting(effect.strength)
    return strength if effect.kind == "raises" else 1 / strength


class Expectations:
    """The likelihoods of one circuit, computed question by question when first needed, and kept.

    The last column of every table is the unknown: no rule speaks of it, so it sees what is usual.
    """

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.columns = {fault: index for index, fault in enumerate(circuit.faults)}
        self._reach = _reach(circuit)
        self._looked_for = {(leaf.name, value) for rule in circuit.rules for leaf in rule.when for value in leaf.values}
        self._tables: dict[tuple[str, Told], Array] = {}
        self._likelihoods: dict[tuple[str, Told, float], Array] = {}

    @cached_property
    def speaking(self) -> frozenset[str]:
        """The questions that some rule of this circuit looks at."""
        return frozenset(self._reach)

    @cached_property
    def in_order(self) -> tuple[str, ...]:
        """The same, in the order of the base."""
        return tuple(sorted(self._reach, key=self.circuit.base.order.__getitem__))

    def table(self, question: str, circumstances: Mapping[str, str]) -> Array:
        """Rows: the question's outcomes; columns: the circuit's faults, then the unknown. Each column sums to one."""
        told = self._relevant(question, circumstances)
        found = self._tables.get((question, told))
        if found is None:
            found = self._tables[question, told] = self._compute(question, dict(told))
        return found

    def likelihood(self, question: str, circumstances: Mapping[str, str], slip: float) -> Array:
        """As `table`, slips allowed for: (1 - slip) of what is expected and slip of what is usual. Not writable."""
        key = question, self._relevant(question, circumstances), slip
        found = self._likelihoods.get(key)
        if found is None:
            seen = usual(self.circuit.base, question)[:, None]
            found = self._likelihoods[key] = (1 - slip) * self.table(question, circumstances) + slip * seen
            found.setflags(write=False)
        return found

    def _relevant(self, question: str, circumstances: Mapping[str, str]) -> Told:
        """The circumstances that can matter to a question."""
        return tuple(sorted(self._reach.get(question, frozenset()) & circumstances.items()))

    def impossible(self, question: str, circumstances: Mapping[str, str]) -> list[str]:
        """The faults under which no outcome of the question can be: an error of the rule base."""
        totals = self._joint(question, circumstances).sum(axis=0)
        return [fault for fault, total in zip(self.circuit.faults, totals, strict=False) if total <= 0]

    def _joint(self, question: str, circumstances: Mapping[str, str]) -> Array:
        base = self.circuit.base
        rows = [
            self.weights({**circumstances, question: outcome}, question)
            for outcome in base.questions[question].outcomes
        ]
        joint: Array = usual(base, question)[:, None] * np.array(rows)
        return joint

    def _compute(self, question: str, circumstances: Mapping[str, str]) -> Array:
        joint = self._joint(question, circumstances)
        impossible = joint.sum(axis=0) <= 0
        joint[:, impossible] = usual(self.circuit.base, question)[
            :, None
        ]  # reported by the audit; here it says nothing
        result: Array = joint / joint.sum(axis=0)
        return result

    def weights(self, findings: Mapping[str, str], only: str | None = None) -> Array:
        """The product of the effects of the rules that fire on these findings, by fault, the unknown last.

        With `only`, of the rules that rest on that one finding; without, of those that rest on circumstances alone.
        """
        support = frozenset({only}) if only else frozenset()
        weights = np.ones(len(self.circuit.faults) + 1)
        if only and (only, findings[only]) not in self._looked_for:
            return weights  # no rule can rest on it
        for rule, supports in reason(self.circuit, findings).rested:
            if support in supports:
                self.apply(rule.effects, weights)
        return weights

    def apply(self, effects: Iterable[Effect], weights: Array) -> None:
        """Multiply the effects into the weights, in place."""
        for effect in effects:
            weights[[self.columns[fault] for fault in effect.faults]] *= ratio(self.circuit.base, effect)


@lru_cache(maxsize=64)
def expectations(circuit: Circuit) -> Expectations:
    """The expectations of a circuit, one object for all that ask."""
    return Expectations(circuit)


def _reach(circuit: Circuit) -> Mapping[str, frozenset[Fact]]:
    """For each question that a rule looks at, the facts of circumstances that can matter to the rules it reaches."""
    base = circuit.base
    readers: dict[Fact, list[GroundRule]] = {}
    makers: dict[Fact, list[GroundRule]] = {}
    for rule in circuit.rules:
        for fact in _facts(rule.when):
            readers.setdefault(fact, []).append(rule)
        for fact in rule.concludes:
            makers.setdefault(fact, []).append(rule)
    starts: dict[str, list[Fact]] = {}
    for name, value in readers:
        if name in base.questions and name not in base.circumstances:
            starts.setdefault(name, []).append((name, value))
    return {
        question: frozenset(
            fact
            for rule in _behind(_ahead(facts, readers), makers)
            for fact in _facts((*rule.when, *rule.unless))
            if fact[0] in base.circumstances
        )
        for question, facts in starts.items()
    }


def _ahead(facts: Iterable[Fact], readers: Mapping[Fact, list[GroundRule]]) -> list[GroundRule]:
    """The rules that look for any of these facts, and on through what they conclude."""
    open_, found = list(facts), dict[int, GroundRule]()
    while open_:
        for rule in readers.get(open_.pop(), ()):
            if id(rule) not in found:
                found[id(rule)] = rule
                open_.extend(rule.concludes)
    return list(found.values())


def _behind(rules: Iterable[GroundRule], makers: Mapping[Fact, list[GroundRule]]) -> Iterable[GroundRule]:
    """These rules, and all that conclude what they, or others found so, look for."""
    found = {id(rule): rule for rule in rules}
    open_ = list(found.values())
    while open_:
        for fact in _facts(open_.pop().when):
            for rule in makers.get(fact, ()):
                if id(rule) not in found:
                    found[id(rule)] = rule
                    open_.append(rule)
    return found.values()


def _facts(leaves: Iterable[Leaf]) -> Iterator[Fact]:
    return ((leaf.name, value) for leaf in leaves for value in leaf.values)
