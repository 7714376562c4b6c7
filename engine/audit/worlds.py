"""Can facts hold together? A search through what rules and questions require, without running the rules."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from engine import schema
from engine._experta import Leaf
from engine.base import Base
from engine.grounding import GroundRule


class World(NamedTuple):
    """What each question may still have been answered with, and the questions whose own conditions were seen to."""

    open: Mapping[str, frozenset[str]]
    asked: frozenset[str] = frozenset()


class Worlds:
    """The states of affairs that are possible in one technology."""

    def __init__(self, base: Base, rules: Iterable[GroundRule], given: Mapping[str, str]) -> None:
        self.base = base
        self.start = World({name: frozenset({value}) for name, value in given.items()})
        self.makers: dict[str, list[GroundRule]] = {}
        for rule in rules:
            for name, _ in rule.concludes:
                self.makers.setdefault(name, []).append(rule)

    def fires(self, rule: GroundRule) -> bool:
        """Whether a rule can fire."""
        return any(True for _ in self._rule(rule, self.start, ()))

    def asks(self, question: str) -> bool:
        """Whether a question can come up."""
        return self.holds([Leaf(question, frozenset(self.base.questions[question].outcomes))])

    def holds(self, leaves: Sequence[Leaf], unless: Sequence[Leaf] = ()) -> bool:
        """Whether facts can hold together."""
        return any(True for _ in self._rule(GroundRule("", tuple(leaves), tuple(unless), (), ()), self.start, ()))

    def _rule(self, rule: GroundRule, world: World, above: tuple[int, ...]) -> Iterator[World]:
        for leaf in rule.unless:
            left = self._left(world, leaf.name) - leaf.values
            world = World({**world.open, leaf.name: left}, world.asked)
        yield from self._all(rule.when, world, (*above, id(rule)))

    def _all(self, leaves: Sequence[Leaf], world: World, above: tuple[int, ...]) -> Iterator[World]:
        if not leaves:
            yield world
            return
        for then in self._one(leaves[0], world, above):
            yield from self._all(leaves[1:], then, above)

    def _one(self, leaf: Leaf, world: World, above: tuple[int, ...]) -> Iterator[World]:
        if leaf.name not in self.base.questions:
            for rule in self.makers.get(leaf.name, ()):
                if id(rule) not in above and _makes(rule, leaf):
                    yield from self._rule(rule, world, above)
            return
        left = self._left(world, leaf.name) & leaf.values
        if not left:
            return
        then = World({**world.open, leaf.name: left}, world.asked | {leaf.name})
        if leaf.name in world.asked:
            yield then
        else:
            yield from self._all(self._needs(leaf.name), then, above)

    def _left(self, world: World, name: str) -> frozenset[str]:
        return world.open.get(name, frozenset(self.base.questions[name].outcomes))

    def _needs(self, question: str) -> tuple[Leaf, ...]:
        """What must be known before a question is asked."""
        entry = self.base.questions[question]
        tools: list[schema.Conditions] = [self.base.tools[tool].at_hand for tool in entry.tools]
        conditions = (entry.suits, entry.after, *tools)
        return tuple(Leaf(name, frozenset(values)) for one in conditions for name, values in one.items())


def _makes(rule: GroundRule, leaf: Leaf) -> bool:
    return any(name == leaf.name and value in leaf.values for name, value in rule.concludes)
