"""Reasoning the slow way: every rule against every fact until nothing new comes; every subset of the findings tried."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterable, Mapping, Sequence

from engine.grounding import GroundRule

Fact = tuple[str, str]
Fired = tuple[int, tuple[Fact, ...]]


def fire(rules: Sequence[GroundRule], facts: Iterable[Fact]) -> set[Fired]:
    """Every firing that follows from the facts, as the number of the rule and the facts it matched, in leaf order."""
    known, found = set(facts), set[Fired]()
    while True:
        new = {
            (number, matched)
            for number, rule in enumerate(rules)
            if not any((leaf.name, value) in known for leaf in rule.unless for value in leaf.values)
            for matched in itertools.product(
                *([(leaf.name, value) for value in leaf.values if (leaf.name, value) in known] for leaf in rule.when)
            )
        } - found
        if not new:
            return found
        found |= new
        known |= {conclusion for number, _ in new for conclusion in rules[number].concludes}


def supports(
    rules: Sequence[GroundRule], findings: Mapping[str, str], circumstances: Collection[str]
) -> dict[Fired, set[frozenset[str]]]:
    """For each firing, every smallest set of findings under which it still comes; circumstances always stand."""
    fixed = {name: value for name, value in findings.items() if name in circumstances}
    open_ = [name for name in findings if name not in circumstances]
    found: dict[Fired, set[frozenset[str]]] = {}
    for size in range(len(open_) + 1):
        for names in itertools.combinations(open_, size):
            for fired in fire(rules, {**fixed, **{name: findings[name] for name in names}}.items()):
                sets = found.setdefault(fired, set())
                if not any(other <= set(names) for other in sets):
                    sets.add(frozenset(names))
    return found
