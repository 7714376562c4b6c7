"""When one rule's conditions take in another's, and what each of them does, spelled out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from engine import schema
from engine.audit.survey import Survey

Deed = tuple[str, str, str]


class Pair(NamedTuple):
    """A rule and one that fires whenever it does; `equal` when that is so both ways."""

    narrow: str
    wide: str
    equal: bool


def pairs(survey: Survey) -> list[Pair]:
    """Rules of which one fires whenever the other does; equal ones once, in the order of the base."""
    rules = list(survey.base.rules.items())
    found = []
    for index, (name, rule) in enumerate(rules):
        for position, (other, wide) in enumerate(rules):
            if position == index or rule.over != wide.over or not wide.when.keys() <= rule.when.keys():
                continue
            if _takes_in(wide, rule):
                equal = _takes_in(rule, wide)
                if not equal or position < index:
                    found.append(Pair(name, other, equal))
    return found


def deeds(survey: Survey) -> Mapping[str, frozenset[Deed]]:
    """For every rule, all that it does: each effect on each fault in any technology, conclusion and word of advice."""
    found: dict[str, set[Deed]] = {name: _plain(rule) for name, rule in survey.base.rules.items()}
    for circuit in survey.circuits.values():
        for rule in circuit.rules:
            for effect in rule.effects:
                found[rule.id].update((effect.kind, effect.strength, fault) for fault in effect.faults)
    return {name: frozenset(done) for name, done in found.items()}


def _plain(rule: schema.Rule) -> set[Deed]:
    done = {("concludes", name, value) for name, value in rule.concludes.items()}
    for kind in ("advises", "bars", "stops"):
        done.update((kind, "", name) for name in getattr(rule, kind))
    return done


def _takes_in(wide: schema.Rule, narrow: schema.Rule) -> bool:
    """Whether the wide rule holds wherever the narrow one does."""
    wider = all(name in narrow.when and set(narrow.when[name]) <= set(values) for name, values in wide.when.items())
    return wider and all(set(values) <= set(narrow.unless.get(name, ())) for name, values in wide.unless.items())
