"""Rule bases grown from the shipped one, to see how time grows with rules.

A grown circuit has the ground rules of one technology, and then copies of them, each copy about a lamp of its own: its
questions and conclusions carry the number of the copy, circumstances are shared, and it leaves the odds alone. It is
cut at the wanted number of rules. A job has answers to questions of the first copy only: a person has one lamp in hand.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cached_property, lru_cache

from engine._experta import Leaf
from engine.base import Base
from engine.grounding import Circuit, GroundRule, ground
from engine.session import Session

TIMES = 10


@lru_cache(maxsize=16)
def circuit(base: Base, technology: str | None, rules: int | None = None) -> Circuit:
    """The circuit of a technology, with so many rules; None: as it is."""
    known = ground(base, technology)
    if rules is None:
        return known
    copies = (copy(base, rule, number) for number in itertools.count() for rule in known.rules)
    return Circuit(base, technology, known.faults, tuple(itertools.islice(copies, rules)))


def copy(base: Base, rule: GroundRule, number: int) -> GroundRule:
    """A rule about another lamp; the rule itself for number 0."""
    if not number:
        return rule

    def renamed(name: str) -> str:
        return name if name in base.circumstances else f"{name}.{number}"

    def about(leaves: tuple[Leaf, ...]) -> tuple[Leaf, ...]:
        return tuple(Leaf(renamed(leaf.name), leaf.values) for leaf in leaves)

    concluded = tuple((renamed(name), value) for name, value in rule.concludes)
    return replace(rule, when=about(rule.when), unless=about(rule.unless), concludes=concluded, effects=())


class TenTimes(Session):
    """A session on ten times the rules of its technology."""

    @cached_property
    def circuit(self) -> Circuit:
        """The rules and faults in play, and nine copies of the rules."""
        rules = TIMES * len(ground(self.base, self.technology).rules) if self.technology else None
        return circuit(self.base, self.technology, rules)
