"""Spells out the rules of a base for one technology: selections become faults, light paths become lists of parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import NamedTuple

from engine import schema
from engine._experta import Leaf, Network, Pattern
from engine.base import Base
from engine.references import ANY, LIGHT, LIGHT_PATH


class Effect(NamedTuple):
    """What a firing does: excludes, proves, raises or lowers (these with a strength), and which faults."""

    kind: str
    strength: str
    faults: frozenset[str]


@dataclass(frozen=True)
class GroundRule:
    """A rule with everything spelled out. `light` and `path` are filled where one was said for every light."""

    id: str
    when: tuple[Leaf, ...]
    unless: tuple[Leaf, ...]
    concludes: tuple[tuple[str, str], ...]
    effects: tuple[Effect, ...]
    light: str = ""
    path: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Circuit:
    """All that is known of one technology: its faults and the ground rules that can fire. Compared by identity."""

    base: Base
    technology: str | None
    faults: tuple[str, ...]
    rules: tuple[GroundRule, ...]

    @cached_property
    def network(self) -> Network:
        """The rules, compiled."""
        return Network(
            [Pattern(rule.when, rule.unless) for rule in self.rules], [rule.concludes for rule in self.rules]
        )

    @cached_property
    def looked_for(self) -> frozenset[str]:
        """The names of the facts that some rule needs."""
        return frozenset(leaf.name for rule in self.rules for leaf in rule.when)

    def prior(self, complaint: str | None, second: str | None = None) -> list[float]:
        """How often each fault is behind the complaint, as shares that sum to one less the share of the unknown.

        A fault that is known for the second complaint as well is the likelier for it.
        """
        known = 1 - self.base.setting("unknown-share")
        if self.technology is None or not self.faults:
            return []
        table = self.base.technologies[self.technology].frequencies
        stray = self.base.setting("stray-frequency")
        more = self.base.setting("moderate")
        raw = [
            _frequency(table[fault], complaint, stray)
            * (more if second and second != complaint and self.shows(fault, second) else 1)
            for fault in self.faults
        ]
        total = sum(raw)
        return [known * share / total for share in raw]

    def shows(self, fault: str, complaint: str) -> bool:
        """Whether a fault, or one of two at once, is known for a complaint."""
        table = self.base.technologies[self.technology].frequencies if self.technology else {}
        return any(complaint in table.get(one, {}) for one in (fault, *self.base.faults[fault].both))


def _frequency(by_complaint: Mapping[str, float], complaint: str | None, stray: float) -> float:
    if complaint is None:
        return max(stray, sum(by_complaint.values()) / max(1, len(by_complaint)))
    return max(stray, by_complaint.get(complaint, by_complaint.get(ANY, 0.0)))


@lru_cache(maxsize=64)
def ground(base: Base, technology: str | None) -> Circuit:
    """The circuit of a technology; of no technology in particular, only the rules that need none."""
    known = base.technologies.get(technology) if technology else None
    faults = tuple(fault for fault in base.faults if known and fault in known.frequencies)
    chooser = _Chooser(base, known, faults)
    rules: list[GroundRule] = []
    for name, rule in base.rules.items():
        wanted = rule.when.get(base.roles.technology)
        if wanted is None or technology in wanted:
            rules.extend(_ground_rule(name, rule, known, chooser))
    return Circuit(base, technology, faults, tuple(rules))


def _ground_rule(
    name: str, rule: schema.Rule, known: schema.Technology | None, chooser: _Chooser
) -> Iterable[GroundRule]:
    if rule.over is None:
        yield _spell_out(name, rule, rule.when, chooser, "", ())
        return
    for light, steps in (known.paths if known else {}).items():
        branches: dict[tuple[tuple[Leaf, ...], tuple[Leaf, ...]], list[str]] = {}
        for step in steps:
            only = ((), ()) if isinstance(step, str) else (_leaves(step.when), _leaves(step.unless))
            branches.setdefault(only, []).append(step if isinstance(step, str) else step.node)
        for (extra, barred), path in branches.items():
            when = {light if key == LIGHT else key: values for key, values in rule.when.items()}
            when.update({leaf.name: tuple(sorted(leaf.values)) for leaf in extra})
            grounded = _spell_out(name, rule, when, chooser, light, tuple(path))
            yield replace(grounded, unless=(*grounded.unless, *barred))


def _spell_out(
    name: str, rule: schema.Rule, when: schema.Conditions, chooser: _Chooser, light: str, path: tuple[str, ...]
) -> GroundRule:
    effects = [
        Effect(kind, "", chooser.choose(getattr(rule, kind), path))
        for kind in ("excludes", "proves")
        if getattr(rule, kind)
    ]
    for kind in ("raises", "lowers"):
        for strength, selectors in getattr(rule, kind).items():
            effects.append(Effect(kind, strength, chooser.choose(selectors, path)))
    told = tuple(effect for effect in effects if effect.faults)
    return GroundRule(name, _leaves(when), _leaves(rule.unless), tuple(rule.concludes.items()), told, light, path)


def _leaves(conditions: schema.Conditions) -> tuple[Leaf, ...]:
    return tuple(Leaf(name, frozenset(values)) for name, values in conditions.items())


class _Chooser:
    """Finds the faults of one technology that a list of selectors means."""

    def __init__(self, base: Base, technology: schema.Technology | None, faults: tuple[str, ...]) -> None:
        self.base = base
        self.rank = {node: index for index, node in enumerate(technology.chain)} if technology else {}
        self.single = [fault for fault in faults if not base.faults[fault].both]
        self.double = [fault for fault in faults if base.faults[fault].both]

    def choose(self, selectors: Iterable[str | schema.Selection], path: tuple[str, ...]) -> frozenset[str]:
        """Single faults that any selector means, named double ones, and double ones of which one member is meant."""
        chosen: set[str] = set()
        for selector in selectors:
            if isinstance(selector, str):
                chosen.update({selector} & {*self.single, *self.double})
            else:
                chosen.update(fault for fault in self.single if self._fits(fault, selector, path))
        kept = {fault for selector in selectors if not isinstance(selector, str) for fault in selector.but}
        chosen.update(
            double
            for double in self.double
            if double not in kept and chosen.intersection(self.base.faults[double].both)
        )
        return frozenset(chosen)

    def _fits(self, name: str, selection: schema.Selection, path: tuple[str, ...]) -> bool:
        fault = self.base.faults[name]
        node = self.base.nodes[fault.node] if fault.node else None
        nodes = [part for word in selection.node for part in (path if word == LIGHT_PATH else (word,))]
        tests = (
            name not in selection.but,
            not selection.node or fault.node in nodes,
            not selection.section or (node is not None and node.section in selection.section),
            not selection.mode or fault.mode in selection.mode,
            not selection.kind or fault.kind in selection.kind,
            self._beside(fault.node, selection.upstream_of, -1),
            self._beside(fault.node, selection.downstream_of, 1),
        )
        return all(tests)

    def _beside(self, node: str | None, mark: str | None, direction: int) -> bool:
        if mark is None:
            return True
        if node not in self.rank or mark not in self.rank:
            return False
        return (self.rank[node] - self.rank[mark]) * direction > 0
