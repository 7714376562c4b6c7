"""The rule base as a graph: questions, rules, conclusions, faults; whole by chapter, or around one thing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence

from engine.argument import SAYS, Edge, Graph, Kind, Node, Says
from engine.base import Base
from engine.entries import CONCLUSIONS, circuits, effects, plain, stretch
from engine.grounding import Effect
from engine.wording import in_words

MANY = 4  # faults of one effect that are drawn one by one
MOST = 10  # rules of one kind that are drawn around a fault
LINES = 110  # of the whole base that can be told apart


class _Draft:
    """Collects boxes and lines, each once."""

    def __init__(self, base: Base) -> None:
        self.base = base
        self.nodes: dict[str, Node] = {}
        self.edges: dict[Edge, None] = {}

    def box(self, kind: Kind, name: str, text: str, leads: bool = False) -> str:
        """A box; its name among all boxes."""
        key = f"{kind} {name}"
        self.nodes.setdefault(key, Node(key, kind, text, None, False, leads))
        return key

    def line(self, start: str, end: str, says: Says = "") -> None:
        """A line between two boxes."""
        self.edges[Edge(start, end, says)] = None

    def graph(self) -> Graph:
        """All of it."""
        return Graph(tuple(self.nodes.values()), tuple(self.edges))

    def rule(self, name: str, leads: bool = False, makers: bool = True) -> str:
        """A rule with all that it rests on; with `makers`, the rules behind the conclusions it uses, too."""
        rule, base = self.base.rules[name], self.base
        box = self.box("rule", name, f"{name}: {rule.because}", leads)
        for fact, values in rule.when.items():
            if fact in base.questions:
                self.line(self.finding(fact, values), box)
            elif fact in base.conclusions:
                self.line(self.conclusion(fact, values, makers), box)
            else:  # said for every light
                self.line(self.box("finding", fact, f"another light: {' or '.join(values)}"), box)
        return box

    def finding(self, question: str, values: Sequence[str]) -> str:
        """A question with the outcomes that are looked at."""
        title = plain(self.base, self.base.questions[question].title)
        return self.box("finding", f"{question} {' '.join(values)}", f"{title}: {' or '.join(values)}")

    def conclusion(self, name: str, values: Iterable[str], makers: bool = False) -> str:
        """A conclusion, and with `makers` the rules that come to it."""
        said = " or ".join(values)
        box = self.box("conclusion", f"{name} {said}", f"{in_words(name)}: {said}")
        for maker, rule in self.base.rules.items() if makers else ():
            if any(rule.concludes.get(name) == value for value in values):
                self.line(self.rule(maker, makers=False), box)
        return box

    def decided(self, rule: str, only: str = "") -> None:
        """What a rule does: to faults (or one of them), and to conclusions."""
        box = f"rule {rule}"
        for effect, _ in effects(self.base, rule):
            if not only:
                for fault in self._faults(effect):
                    self.line(box, fault, SAYS[effect.kind])
            elif only in effect.faults:
                self.line(box, self.fault(only, True), SAYS[effect.kind])
        if not only:
            for name, value in self.base.rules[rule].concludes.items():
                self.line(box, self.conclusion(name, [value]))

    def fault(self, name: str, leads: bool = False) -> str:
        """A fault."""
        return self.box("fault", name, self.base.faults[name].name, leads)

    def _faults(self, effect: Effect) -> list[str]:
        """The faults of an effect, or one box for many of them."""
        names = [name for name in self.base.faults if name in effect.faults]
        if len(names) <= MANY:
            return [self.fault(name) for name in names]
        words = ", ".join(self.base.faults[name].name for name in names)
        return [self.box("fault", f"many {' '.join(names)}", f"{len(names)} faults: {words}")]


def around(base: Base, section: str, name: str) -> Graph:
    """What stands around one thing; `section` is one of SECTIONS."""
    draft = _Draft(base)
    _AROUND[section](draft, name)
    return draft.graph()


def _around_rule(draft: _Draft, name: str) -> None:
    draft.rule(name, leads=True)
    draft.decided(name)


def _around_question(draft: _Draft, name: str) -> None:
    for rule, entry in draft.base.rules.items():
        if name in entry.when:
            draft.rule(rule, makers=False)
            draft.decided(rule)


def _around_conclusion(draft: _Draft, name: str) -> None:
    for rule, entry in draft.base.rules.items():
        if name in entry.when:
            draft.rule(rule)
            draft.decided(rule)
        elif name in entry.concludes:
            draft.rule(rule, makers=False)
            draft.line(f"rule {rule}", draft.conclusion(name, [entry.concludes[name]]))


def _around_fault(draft: _Draft, name: str) -> None:
    draft.fault(name, True)
    found: dict[tuple[str, str], dict[str, None]] = {}
    for circuit in circuits(draft.base).values():
        for ground in circuit.rules:
            for effect in ground.effects:
                if name in effect.faults:
                    found.setdefault((effect.kind, effect.strength), {})[ground.id] = None
    for (kind, strength), rules in sorted(found.items(), key=lambda one: list(SAYS).index(one[0][0]), reverse=True):
        for rule in list(rules)[:MOST]:
            draft.rule(rule, makers=False)
            draft.decided(rule, only=name)
        if len(rules) > MOST:
            more = draft.box(
                "rule", f"more {kind} {strength}", f"and {len(rules) - MOST} more rules, {strength or 'hard'}"
            )
            draft.line(more, draft.fault(name), SAYS[kind])


_AROUND: Mapping[str, Callable[[_Draft, str], None]] = {
    "rules": _around_rule,
    "questions": _around_question,
    "faults": _around_fault,
    CONCLUSIONS: _around_conclusion,
}


SECTIONS = tuple(_AROUND)


def whole(base: Base, chapter: Callable[[str, str], str], most: int = LINES) -> tuple[Graph, int]:
    """The whole base by chapter, and how many lines were left out; at most about so many are drawn, the weightiest.

    `chapter(section, id)` names the chapter of a question or rule; faults go by their stretch of the chain. The weight
    of a line is the number of rules that make it; the weightiest from and to each box is always drawn.
    """
    draft = _Draft(base)
    weight: Counter[Edge] = Counter()
    size = Counter(
        (section, chapter(section, one)) for section in ("questions", "rules") for one in getattr(base, section)
    )
    for name, rule in base.rules.items():
        here = chapter("rules", name)
        box = draft.box("rule", here, f"{in_words(here)}: {size['rules', here]} rules")
        uses = [draft.box("conclusion", fact, in_words(fact)) for fact in rule.when if fact in base.conclusions]
        for there in {chapter("questions", fact) for fact in rule.when if fact in base.questions}:
            words = f"{in_words(there)}: {size['questions', there]} questions"
            weight[Edge(draft.box("finding", there, words), box)] += 1
        for fact in rule.concludes:
            weight[Edge(box, draft.box("conclusion", fact, in_words(fact)))] += 1
        for there in _stretches(base, name):
            for start in uses or [box]:
                weight[Edge(start, draft.box("fault", there, there))] += 1
    kept = _weightiest(weight, most)
    return Graph(tuple(draft.nodes.values()), tuple(edge for edge in weight if edge in kept)), len(weight) - len(kept)


def _weightiest(weight: Counter[Edge], most: int) -> set[Edge]:
    ordered = [edge for edge, _ in weight.most_common()]
    kept: set[Edge] = set()
    for side in ("start", "end"):
        first: dict[str, Edge] = {}
        for edge in ordered:
            first.setdefault(getattr(edge, side), edge)
        kept.update(first.values())
    for edge in ordered:
        if len(kept) >= most:
            break
        kept.add(edge)
    return kept


def _stretches(base: Base, rule: str) -> Iterable[str]:
    """The stretches of the chain in which a rule speaks of faults."""
    touched = {fault for effect, _ in effects(base, rule) for fault in effect.faults}
    return dict.fromkeys(stretch(base, fault) for fault in base.faults if fault in touched)
