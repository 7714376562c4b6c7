"""The only door to experta: import mended, agenda in one order, facts matched by index, actions that only record."""

from __future__ import annotations

import collections
import collections.abc
import itertools
import logging
from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

# experta 1.9.4 pins frozendict 1.2, which looks for collections.Mapping (gone since Python 3.10; experta issue 34),
# and calls logging.basicConfig(), which would write over the prompt. Both are held off during the import only.
_guard = logging.NullHandler()
logging.getLogger().addHandler(_guard)
_lent = not hasattr(collections, "Mapping")
if _lent:
    collections.Mapping = collections.abc.Mapping  # type: ignore[attr-defined]  # gone, which is the point
try:
    from experta import NOT, Fact, KnowledgeEngine, L, Rule
    from experta.abstract import Matcher, Strategy
    from experta.activation import Activation
    from experta.fieldconstraint import ORFC
finally:
    if _lent:
        del collections.Mapping  # type: ignore[attr-defined]  # as above
    logging.getLogger().removeHandler(_guard)


class Leaf(NamedTuple):
    """One condition: a fact of this name with any of these values."""

    name: str
    values: frozenset[str]


class Pattern(NamedTuple):
    """The left-hand side of a rule: leaves that must all hold, and leaves none of which may."""

    when: tuple[Leaf, ...]
    unless: tuple[Leaf, ...] = ()


class Match(NamedTuple):
    """A firing: the number of the rule in the network, and the facts its leaves matched, in their order."""

    rule: int
    facts: tuple[tuple[str, str], ...]


class Known(Fact):  # type: ignore[misc]  # experta has no types
    """A fact of working memory: a name and its value, both text, so that experta's equality holds no surprise."""


class TotalOrder(Strategy):  # type: ignore[misc]  # experta has no types
    """An agenda in the order of rules, then facts; the stock one leaves stale activations and varies by process."""

    def _update_agenda(self, agenda: Any, added: Sequence[Any], removed: Sequence[Any]) -> None:
        if not added and not removed:
            return  # experta asks after every firing, and nothing is declared meanwhile
        gone = {id(activation) for activation in removed}
        agenda.activations = [one for one in agenda.activations if id(one) not in gone]
        for activation in added:
            ids = sorted(fact["__factid__"] for fact in activation.facts)
            activation.key = (activation.rule.salience, [-number for number in ids])
            agenda.activations.append(activation)
        agenda.activations.sort()


class IndexMatcher(Matcher):  # type: ignore[misc]  # experta has no types
    """Matches by looking up name and value. All our patterns are ground, so that no network of joins is needed.

    Working memory only grows: a changed answer means a fresh reasoning, hence facts are never retracted.
    """

    def __init__(self, engine: Any) -> None:
        super().__init__(engine)
        self.rules: list[Any] = engine.get_rules()
        self.wanted: dict[tuple[str, str], list[tuple[int, int]]] = {}
        self.barred: dict[tuple[str, str], list[int]] = {}
        self.widths: list[int] = []
        for number, rule in enumerate(self.rules):
            positive = [part for part in rule if not isinstance(part, NOT)]
            self.widths.append(len(positive))
            for slot, pattern in enumerate(positive):
                for key in _keys(pattern):
                    self.wanted.setdefault(key, []).append((number, slot))
            for part in rule:
                if isinstance(part, NOT):
                    for key in _keys(part[0]):
                        self.barred.setdefault(key, []).append(number)
        self.reset()

    def reset(self) -> None:
        """Forget all facts."""
        self.slots: dict[int, list[list[Any]]] = {}
        self.blocked: set[int] = set()
        self.active: dict[int, list[Any]] = {}

    def changes(self, adding: Iterable[Any] = (), deleting: Sequence[Any] = ()) -> tuple[list[Any], list[Any]]:
        """The activations that these facts bring about and those that they take away."""
        if deleting:
            raise TypeError("facts are not retracted here; reason afresh")
        if not adding:
            return [], []  # asked after every firing
        facts = [(fact, (fact["name"], fact["value"])) for fact in adding if isinstance(fact, Known)]
        removed: list[Any] = []
        for _, key in facts:
            for number in self.barred.get(key, ()):
                self.blocked.add(number)
                removed.extend(self.active.pop(number, ()))
        added: list[Any] = []
        for fact, key in facts:
            for number, slot in self.wanted.get(key, ()):
                if number not in self.blocked:
                    added.extend(self._completed(number, slot, fact))
        return added, removed

    def _completed(self, number: int, slot: int, fact: Any) -> Iterable[Any]:
        slots = self.slots.get(number)
        if slots is None:
            slots = self.slots[number] = [[] for _ in range(self.widths[number])]
        slots[slot].append(fact)
        if all(slots):
            choices = [*slots[:slot], [fact], *slots[slot + 1 :]]
            for chosen in itertools.product(*choices):
                context = {f"leaf{index}": one for index, one in enumerate(chosen)}
                activation = Activation(self.rules[number], chosen, context)
                self.active.setdefault(number, []).append(activation)
                yield activation


class Network:
    """Rules compiled once; `infer` reasons from facts to quiescence in a fresh working memory."""

    def __init__(self, patterns: Sequence[Pattern], conclusions: Sequence[Sequence[tuple[str, str]]]) -> None:
        self._conclusions = conclusions
        self._fired: list[Match] = []
        self._rules = [_rule(number, pattern, self._fired) for number, pattern in enumerate(patterns)]
        self._engine: Any = None

    def infer(self, facts: Iterable[tuple[str, str]]) -> list[Match]:
        """Every firing that follows from the facts, in one order that depends on nothing else."""
        try:
            return self._infer(facts)
        except BaseException:
            self._engine = None  # a half-run engine would give plausible wrong answers
            raise

    def _infer(self, facts: Iterable[tuple[str, str]]) -> list[Match]:
        if self._engine is None:
            self._engine = _engine_class(self._rules)()
        self._engine.reset()
        self._fired.clear()
        known: set[tuple[str, str]] = set()
        fresh = sorted(set(facts))
        done = 0
        while fresh:
            known.update(fresh)
            self._engine.declare(*(Known(name=name, value=value) for name, value in fresh))
            self._engine.run()
            fresh = []
            for match in self._fired[done:]:
                for conclusion in self._conclusions[match.rule]:
                    if conclusion not in known and conclusion not in fresh:
                        fresh.append(conclusion)
            done = len(self._fired)
        return list(self._fired)


def _engine_class(rules: Sequence[Any], matcher: type[Any] = IndexMatcher) -> type[Any]:
    class GroundEngine(KnowledgeEngine):  # type: ignore[misc]  # experta has no types
        __matcher__ = matcher
        __strategy__ = TotalOrder
        _initial: list[Any] | None = None

        def get_rules(self) -> list[Any]:
            return list(rules)

        def get_deffacts(self) -> list[Any]:
            if self._initial is None:  # experta inspects every member at each reset; once is enough
                self._initial = super().get_deffacts()
            return self._initial

    return GroundEngine


def _rule(number: int, pattern: Pattern, fired: list[Match]) -> Any:
    parts: list[Any] = []
    for slot, leaf in enumerate(pattern.when):
        fact = _fact(leaf)
        fact.__bind__ = f"leaf{slot}"
        parts.append(fact)
    parts.extend(NOT(_fact(leaf)) for leaf in pattern.unless)
    return Rule(*parts, salience=-number)(_recorder(number, len(pattern.when), fired))


def _recorder(number: int, width: int, fired: list[Match]) -> Callable[..., None]:
    names = [f"leaf{slot}" for slot in range(width)]

    def record(engine: Any, **bound: Any) -> None:
        fired.append(Match(number, tuple((bound[name]["name"], bound[name]["value"]) for name in names)))

    return record


def _fact(leaf: Leaf) -> Any:
    values = sorted(leaf.values)
    value: Any = L(values[0])
    for other in values[1:]:
        value = value | L(other)
    return Known(name=leaf.name, value=value)


def _keys(pattern: Any) -> Iterable[tuple[str, str]]:
    value = pattern["value"]
    for literal in value if isinstance(value, ORFC) else (value,):
        yield pattern["name"], literal.value
