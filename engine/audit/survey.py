"""A knowledge base laid out for inspection: its entries, the place of each word, and what its rules see."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from engine import yamltree
from engine._experta import Leaf
from engine.audit.near import Near
from engine.audit.worlds import Worlds
from engine.base import Base
from engine.expectations import Array, expectations, usual
from engine.grounding import Circuit, GroundRule, ground
from engine.problems import Place
from engine.reasoning import reason

ERROR, WARNING, ADVICE = "error", "warning", "advice"


class Sight(NamedTuple):
    """One finding in one set of circumstances, and the rules that rest on that finding alone."""

    question: str
    context: tuple[tuple[str, str], ...]
    outcome: str
    rules: tuple[GroundRule, ...]


class Table(NamedTuple):
    """Usual share x weight for each outcome (rows) and fault (columns, the unknown last); columns not yet summed."""

    question: str
    context: tuple[tuple[str, str], ...]
    joint: Array


@dataclass(frozen=True, eq=False)
class Survey:
    """What a check is given."""

    base: Base
    trees: Mapping[tuple[str, str], yamltree.Tree]

    def at(self, section: str, name: str, *path: int | str) -> Place:
        """Where a value of an entry stands; without a path, or where the path is not written out, the entry's id."""
        tree = self.trees[section, name]
        if not path or (isinstance(tree, yamltree.Mapping) and str(path[0]) not in tree.items):
            return self.base.place(section, name)
        return yamltree.find(tree, path)

    def key(self, section: str, name: str, *path: int | str) -> Place:
        """Where the last key of a path stands; where it is not written out, the entry's id."""
        tree = self.trees[section, name]
        if not path or (isinstance(tree, yamltree.Mapping) and str(path[0]) not in tree.items):
            return self.base.place(section, name)
        return yamltree.key_place(tree, path)

    @cached_property
    def circuits(self) -> Mapping[str, Circuit]:
        """The circuit of every technology."""
        return {technology: ground(self.base, technology) for technology in self.base.technologies}

    @cached_property
    def worlds(self) -> Mapping[str, Worlds]:
        """For every technology, what can hold together in it."""
        role = self.base.roles.technology
        return {name: Worlds(self.base, circuit.rules, {role: name}) for name, circuit in self.circuits.items()}

    @cached_property
    def live(self) -> Mapping[str, tuple[GroundRule, ...]]:
        """For every technology, the ground rules that can fire."""
        return {
            name: tuple(rule for rule in circuit.rules if self.worlds[name].fires(rule))
            for name, circuit in self.circuits.items()
        }

    @cached_property
    def askable(self) -> Mapping[str, frozenset[str]]:
        """For every technology, the questions that can come up."""
        return {
            name: frozenset(question for question in self.base.questions if self.worlds[name].asks(question))
            for name in self.circuits
        }

    @cached_property
    def sights(self) -> Mapping[str, tuple[Sight, ...]]:
        """For every technology, what each finding alone sets off, under all circumstances that can matter to it."""
        return {technology: tuple(self._look(technology)) for technology in self.circuits}

    @cached_property
    def tables(self) -> Mapping[str, tuple[Table, ...]]:
        """For every technology, what `sights` come to as numbers."""
        return {technology: tuple(self._tables(technology)) for technology in self.circuits}

    def _look(self, technology: str) -> Iterator[Sight]:
        circuit = self.circuits[technology]
        told, near = expectations(circuit), Near(self.live[technology])
        for question in sorted(told.speaking & self.askable[technology], key=self.base.order.__getitem__):
            support = frozenset({question})
            for context in self._contexts(near, technology, question):
                for outcome in self.base.questions[question].outcomes:
                    rested = reason(circuit, {**dict(context), question: outcome}).rested
                    rules = tuple(rule for rule, supports in rested if support in supports)
                    yield Sight(question, context, outcome, rules)

    def _tables(self, technology: str) -> Iterator[Table]:
        table = expectations(self.circuits[technology])
        width = len(self.circuits[technology].faults) + 1
        for (question, context), group in itertools.groupby(self.sights[technology], key=lambda sight: sight[:2]):
            rows = []
            for sight in group:
                weights = np.ones(width)
                for rule in sight.rules:
                    table.apply(rule.effects, weights)
                rows.append(weights)
            yield Table(question, context, usual(self.base, question)[:, None] * np.array(rows))

    def _contexts(self, near: Near, technology: str, question: str) -> Iterable[tuple[tuple[str, str], ...]]:
        """Circumstances under which a question can be asked; of answers that no rule near it tells apart, one."""
        role, suits = self.base.roles.technology, self.base.questions[question].suits
        found: dict[str, list[Leaf]] = {}
        for rule in near.rules(question):
            for leaf in (*rule.when, *rule.unless):
                if leaf.name in self.base.circumstances and leaf.name != role:
                    found.setdefault(leaf.name, []).append(leaf)
        choices = []
        for name, leaves in found.items():
            outcomes = [one for one in self.base.questions[name].outcomes if one in suits.get(name, (one,))]
            alike = {tuple(outcome in leaf.values for leaf in leaves): outcome for outcome in reversed(outcomes)}
            choices.append([(name, outcome) for outcome in alike.values()])
        for chosen in itertools.product(*choices):
            yield ((role, technology), *chosen)


def conditions_text(conditions: Mapping[str, Iterable[str]]) -> str:
    """Conditions as they would be written in a file."""
    shown = {name: list(values) for name, values in conditions.items()}
    return ", ".join(
        f"{name}: {values[0] if len(values) == 1 else '[' + ', '.join(values) + ']'}" for name, values in shown.items()
    )


def listed(names: Iterable[str], most: int = 4) -> str:
    """Some ids in a row, and how many more there are."""
    found = list(names)
    more = f" and {len(found) - most} more" if len(found) > most else ""
    return ", ".join(found[:most]) + more
