"""Reasoning as a pure function: from findings, through rules to quiescence, to the firings and what each rests on."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from engine.grounding import Circuit, GroundRule

Fact = tuple[str, str]
Support = frozenset[str]
MAX_SUPPORTS = 12


@dataclass(frozen=True)
class Firing:
    """A rule that fired: the facts it matched, and every smallest set of findings it rests on.

    `doubtful`: each of those sets holds a finding whose conditions were not met; hard effects are then soft.
    """

    rule: GroundRule
    facts: tuple[Fact, ...]
    supports: tuple[Support, ...]
    doubtful: bool = False

    @property
    def questions(self) -> Support:
        """The smallest set of findings it rests on, first in order where several are."""
        return self.supports[0] if self.supports else frozenset()


@dataclass(frozen=True)
class Reasoning:
    """What follows from a set of findings."""

    circuit: Circuit
    findings: Mapping[str, str]
    doubts: frozenset[str]
    firings: tuple[Firing, ...]

    @cached_property
    def facts(self) -> frozenset[Fact]:
        """Findings and conclusions together."""
        concluded = (conclusion for firing in self.firings for conclusion in firing.rule.concludes)
        return frozenset((*self.findings.items(), *concluded))

    @cached_property
    def rested(self) -> tuple[tuple[GroundRule, tuple[Support, ...]], ...]:
        """Each rule that fired, once, and the smallest sets of findings it rests on, whichever facts it matched.

        A rule that any of several conclusions will do for fires for each of them, but it is one piece of evidence.
        """
        sets: dict[int, list[Support]] = {}
        rules: dict[int, GroundRule] = {}
        for firing in self.firings:
            rules[id(firing.rule)] = firing.rule
            sets.setdefault(id(firing.rule), []).extend(firing.supports)
        return tuple((rule, _smallest(sets[number])) for number, rule in rules.items())

    @cached_property
    def advice(self) -> tuple[str, ...]:
        """The causes and cautions that rules which fired bring up, in order, less the causes that an answer clears."""
        base = self.circuit.base
        named = (name for firing in self.firings for name in base.rules[firing.rule.id].advises)
        return tuple(name for name in dict.fromkeys(named) if name not in base.causes or self.suspects(name))

    def suspects(self, cause: str) -> bool:
        """Whether no answer shows that a root cause is not there."""
        return not holds_any(self.circuit.base.causes[cause].cleared, self.facts)

    @cached_property
    def exclusions(self) -> Mapping[str, tuple[Firing, ...]]:
        """For each excluded fault, the sound firings that exclude it."""
        return self._hard("excludes")

    @cached_property
    def proofs(self) -> Mapping[str, tuple[Firing, ...]]:
        """For each proved fault, the sound firings that prove it."""
        return self._hard("proves")

    def _hard(self, kind: str) -> Mapping[str, tuple[Firing, ...]]:
        found: dict[str, list[Firing]] = {}
        for firing in self.firings:
            if firing.doubtful:
                continue
            for effect in firing.rule.effects:
                if effect.kind == kind:
                    for fault in effect.faults:
                        found.setdefault(fault, []).append(firing)
        return {fault: tuple(firings) for fault, firings in found.items()}


def holds(conditions: Mapping[str, Iterable[str]], facts: frozenset[Fact]) -> bool:
    """Whether each condition has one of its values among the facts."""
    return all(any((name, value) in facts for value in values) for name, values in conditions.items())


def holds_any(conditions: Mapping[str, Iterable[str]], facts: frozenset[Fact]) -> bool:
    """Whether one of the conditions has one of its values among the facts."""
    return any((name, value) in facts for name, values in conditions.items() for value in values)


def unopposed(conditions: Mapping[str, Iterable[str]], known: Mapping[str, str]) -> bool:
    """Whether nothing that is known stands against the conditions; what is not known does not."""
    return all(name not in known or known[name] in values for name, values in conditions.items())


def reason(circuit: Circuit, findings: Mapping[str, str], doubts: frozenset[str] = frozenset()) -> Reasoning:
    """Everything that follows from the findings (circumstances among them) in a fresh working memory.

    `doubts` names the findings whose conditions were not met.
    """
    matches = circuit.network.infer(findings.items())
    supports = _supports(circuit, findings, [(circuit.rules[match.rule], match.facts) for match in matches])
    firings = []
    for match, sets in zip(matches, supports, strict=True):
        doubtful = bool(sets) and all(support & doubts for support in sets)
        firings.append(Firing(circuit.rules[match.rule], match.facts, sets, doubtful))
    return Reasoning(circuit, dict(findings), doubts, tuple(firings))


def _supports(
    circuit: Circuit, findings: Mapping[str, str], fired: list[tuple[GroundRule, tuple[Fact, ...]]]
) -> list[tuple[Support, ...]]:
    """For each firing the smallest sets of findings that bring it about; circumstances do not count."""
    nothing: Support = frozenset()
    by_fact: dict[Fact, tuple[Support, ...]] = {}
    for name, value in findings.items():
        by_fact[name, value] = (nothing,) if name in circuit.base.circumstances else (frozenset({name}),)
    results: list[tuple[Support, ...]] = [()] * len(fired)
    changed = True
    while changed:
        changed = False
        for index, (rule, facts) in enumerate(fired):
            sets = _joined([by_fact.get(fact, ()) for fact in facts])
            if sets != results[index]:
                results[index] = sets
                for conclusion in rule.concludes:
                    by_fact[conclusion] = _smallest((*by_fact.get(conclusion, ()), *sets))
                    changed = True
    return results


def _joined(each: list[tuple[Support, ...]]) -> tuple[Support, ...]:
    """The smallest sets that hold one of each."""
    if len(each) == 1:
        return each[0]
    return _smallest(frozenset().union(*chosen) for chosen in itertools.product(*each))


def _smallest(sets: Iterable[Support]) -> tuple[Support, ...]:
    """The sets that hold no other, smallest first, at most MAX_SUPPORTS."""
    kept: list[Support] = []
    for one in sorted(set(sets), key=lambda support: (len(support), sorted(support))):
        if not any(other <= one for other in kept):
            kept.append(one)
    return tuple(kept[:MAX_SUPPORTS])
