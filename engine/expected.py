"""What is expected under one fault: for each question the share of each outcome, and the rules that made it so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from engine.base import Base
from engine.expectations import expectations, usual
from engine.grounding import Effect, ground
from engine.reasoning import reason, unopposed


@dataclass(frozen=True)
class Spoken:
    """A rule that speaks of the fault when this outcome is found."""

    rule: str
    effect: Effect


@dataclass(frozen=True)
class Seen:
    """An outcome: how often it is seen under the fault, and how often when the fault lies elsewhere, 0 to 1."""

    outcome: str
    share: float
    usual: float
    rules: tuple[Spoken, ...]


@dataclass(frozen=True)
class Expected:
    """What is expected of a question under the fault."""

    question: str
    outcomes: tuple[Seen, ...]

    @property
    def spoken(self) -> bool:
        """Whether any rule speaks of the fault."""
        return any(one.rules for one in self.outcomes)

    @property
    def far(self) -> float:
        """How far the expectation is from what is usual: half the sum of the differences, 0 to 1."""
        return sum(abs(one.share - one.usual) for one in self.outcomes) / 2


def technologies_of(base: Base, fault: str) -> tuple[str, ...]:
    """The technologies in which a fault is in play."""
    return tuple(name for name in base.technologies if fault in ground(base, name).faults)


def expected(base: Base, fault: str, technology: str, given: Mapping[str, str]) -> tuple[Expected, ...]:
    """Every question that suits and that rules look at, those that tell most of the fault first.

    `given` are circumstances known beside the technology. Rules of several findings have no part in this.
    """
    circuit = ground(base, technology)
    table, column = expectations(circuit), circuit.faults.index(fault)
    told = {**given, base.roles.technology: technology}
    found = []
    for name in sorted(table.speaking, key=base.order.__getitem__):
        if not unopposed(base.questions[name].suits, told):
            continue
        shares = table.table(name, told)[:, column]
        rows = zip(base.questions[name].outcomes, map(float, shares), map(float, usual(base, name)), strict=True)
        found.append(
            Expected(
                name,
                tuple(
                    Seen(outcome, share, common, _spoken(base, technology, {**told, name: outcome}, name, fault))
                    for outcome, share, common in rows
                ),
            )
        )
    return tuple(sorted(found, key=lambda one: (not one.spoken, -one.far)))


def _spoken(base: Base, technology: str, facts: Mapping[str, str], question: str, fault: str) -> tuple[Spoken, ...]:
    support = frozenset({question})
    rested = reason(ground(base, technology), facts).rested
    return tuple(
        Spoken(rule.id, effect)
        for rule, supports in rested
        if support in supports
        for effect in rule.effects
        if fault in effect.faults
    )
