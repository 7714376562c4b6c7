"""Root causes: which bear on the fault that was mended, which questions may bring them up, and which are still open."""

from __future__ import annotations

from collections.abc import Collection

from engine.base import Base
from engine.grounding import Circuit
from engine.mending import Mending
from engine.reasoning import Fact, Reasoning


def advised(base: Base, mending: Mending, reasoning: Reasoning) -> tuple[str, ...]:
    """The causes that rules which fired bring up, in order; none where what is in hand is that nothing is broken."""
    if mending.hand and mending.hand.verdict.kind == "normal":
        return ()
    return tuple(name for name in reasoning.advice if name in base.causes)


def usual(base: Base, faults: Collection[str], reasoning: Reasoning) -> tuple[str, ...]:
    """The causes that faults usually have, those of two faults at once included, less those that an answer clears."""
    single = [one for fault in faults for one in (fault, *base.faults[fault].both)]
    named = dict.fromkeys(cause for fault in single for cause in base.faults[fault].causes)
    return tuple(filter(reasoning.suspects, named))


def candidates(base: Base, mending: Mending, reasoning: Reasoning) -> tuple[str, ...]:
    """Causes that bear on what was mended: brought up by rules, then or now, or usual for the faults; not yet seen."""
    faults = mending.hand.faults if mending.hand else ()
    found = (*mending.causes, *advised(base, mending, reasoning), *usual(base, faults, reasoning))
    return tuple(dict.fromkeys(cause for cause in found if cause not in mending.seen))


def questions(circuit: Circuit, facts: frozenset[Fact], wanted: Collection[str]) -> tuple[str, ...]:
    """Questions whose answer may make a rule bring up a wanted cause, in the order of the base."""
    base = circuit.base
    told = {name for name, _ in facts}
    found: set[str] = set()
    for rule in circuit.rules:
        if not set(wanted).intersection(base.rules[rule.id].advises):
            continue
        missing = [leaf.name for leaf in rule.when if not any((leaf.name, value) in facts for value in leaf.values)]
        if all(name in base.questions and name not in told for name in missing):
            found.update(name for name in missing if name not in base.circumstances)
    return tuple(sorted(found, key=base.order.__getitem__))


def still_open(base: Base, mending: Mending, reasoning: Reasoning) -> tuple[str, ...]:
    """Causes not yet looked at, put off, or found and not mended: brought up by rules, or usual and not spoken to.

    A usual cause about which a question was answered without a rule bringing it up is not pursued further.
    """
    brought_up = (*mending.causes, *advised(base, mending, reasoning))
    spoken = {
        cause
        for rule in base.rules.values()
        for cause in rule.advises
        if any(name in reasoning.findings and name not in base.circumstances for name in rule.when)
    }
    faults = mending.hand.faults if mending.hand else ()
    quiet = [cause for cause in usual(base, faults, reasoning) if cause not in spoken]
    noted = [cause for cause, seen in mending.seen.items() if seen in ("found", "later")]
    every = dict.fromkeys((*brought_up, *noted, *quiet))
    return tuple(cause for cause in every if mending.seen.get(cause) not in ("not", "mended"))
