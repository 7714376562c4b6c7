"""Contradictions: the smallest set of answers that cannot all be true, and the one that goes ill with the rest."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass

from engine.belief import Belief, Finding
from engine.reasoning import Firing, Reasoning

MAX_TRIES = 20_000  # sets of one size that are tried before a set that is merely minimal has to do


@dataclass(frozen=True)
class Clash:
    """Answers that cannot all be true, the firings that say so, and the answer most likely to be the slip."""

    questions: tuple[str, ...]
    firings: tuple[Firing, ...]
    suspect: str


def find_clash(reasoning: Reasoning, slips: Mapping[str, float]) -> Clash | None:
    """The clash, when sound rules exclude every named fault; None otherwise."""
    faults = reasoning.circuit.faults
    exclusions = reasoning.exclusions
    if not faults or any(fault not in exclusions for fault in faults):
        return None
    ways = {fault: [support for firing in exclusions[fault] for support in firing.supports] for fault in faults}
    involved = sorted({name for sets in ways.values() for support in sets for name in support})
    chosen = _smallest(involved, ways.values())
    if not chosen:
        return None  # circumstances alone exclude everything: an error of the rule base, not of the person
    firings = {
        id(firing): firing
        for fault in faults
        for firing in exclusions[fault]
        if any(support <= chosen for support in firing.supports)
    }
    suspect = max(sorted(chosen), key=lambda name: slips.get(name, 0.0))
    return Clash(tuple(sorted(chosen, key=reasoning.circuit.base.order.__getitem__)), tuple(firings.values()), suspect)


def find_misfit(belief: Belief, findings: Mapping[str, Finding], least: float, ready: Set[str]) -> str | None:
    """The answer that goes worst with the rest: the likeliest slip of those that are `ready` to be asked again.

    None where its odds of being a slip are below `least`, 0 to 1. Answers that were doubtful from the start say little
    anyway.
    """
    odds = {name: odds for name, odds in belief.slips.items() if odds >= least and not findings[name].doubt}
    return max(sorted(odds.keys() & ready), key=odds.__getitem__, default=None)


def _smallest(involved: list[str], ways: Iterable[list[frozenset[str]]]) -> frozenset[str]:
    wanted = list(ways)

    def enough(names: frozenset[str]) -> bool:
        return all(any(support <= names for support in sets) for sets in wanted)

    for size in range(len(involved) + 1):
        if math.comb(len(involved), size) > MAX_TRIES:
            break
        for names in itertools.combinations(involved, size):
            if enough(frozenset(names)):
                return frozenset(names)
    kept = frozenset(involved)
    for name in involved:
        if enough(kept - {name}):
            kept -= {name}
    return kept
