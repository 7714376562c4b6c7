"""The reasoning as a graph of findings, rules, conclusions and faults, limited to what matters for the verdict."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from engine.grounding import Effect
from engine.reasoning import Fact
from engine.session import Session
from engine.wording import fact_words, fault_name

LEADERS, RIVALS, TEMPTING = 2, 2, 3  # so many faults of each sort at most
FOR_LEADER, FOR_RIVAL = 4, 2  # so many rules for or against each
LIKE_FACTS = 3  # facts of one rule from which the rest is told as a number
CONCLUDING = 2  # rules shown behind one conclusion
WORTH = 0.02  # a share from which a rival is worth showing

Kind = Literal["finding", "rule", "conclusion", "fault"]
Says = Literal["", "for", "against", "rules out", "proves"]
SAYS: Mapping[str, Says] = {"raises": "for", "lowers": "against", "excludes": "rules out", "proves": "proves"}
_RANK = {"proves": 0, "rules out": 1, "for": 2, "against": 3}
_STRENGTH = {"": 0, "strong": 0, "moderate": 1, "weak": 2}


@dataclass(frozen=True)
class Node:
    """A box: what stands in it; for a fault its share, and whether rules rule it out or the verdict names it."""

    name: str
    kind: Kind
    text: str
    share: float | None = None
    out: bool = False
    leads: bool = False


@dataclass(frozen=True)
class Edge:
    """A line between boxes and what it says; nothing where a fact only feeds a rule, or a rule a conclusion."""

    start: str
    end: str
    says: Says = ""


@dataclass(frozen=True)
class Graph:
    """The picture of a reasoning; empty when no rule has spoken of a fault that matters."""

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]

    def __bool__(self) -> bool:
        return bool(self.edges)


@dataclass(frozen=True)
class _Spoken:
    """A rule that fired, all its firings together."""

    rule: str
    facts: tuple[Fact, ...]
    effects: tuple[Effect, ...]
    concluded: tuple[Fact, ...]
    doubtful: bool

    def on(self, fault: str) -> tuple[Says, str] | None:
        """What it says of a fault and how strongly."""
        words = SAYS
        if self.doubtful:  # hard effects that rest on a doubtful answer are soft
            words = {**SAYS, "excludes": "against", "proves": "for"}
        found = [(words[one.kind], one.strength) for one in self.effects if fault in one.faults]
        return min(found, key=lambda one: (_RANK[one[0]], _STRENGTH[one[1]]), default=None)

    def excludes(self, faults: Collection[str]) -> frozenset[str]:
        """Which of some faults it rules out."""
        if self.doubtful:
            return frozenset()
        return frozenset(fault for one in self.effects if one.kind == "excludes" for fault in one.faults) & set(faults)


def argue(session: Session) -> Graph:
    """The graph of where a session stands."""
    if not session.circuit.faults:
        return Graph((), ())
    spoken = _spoken(session)
    leaders, rivals, tempting = _faults(session)
    chosen: dict[str, _Spoken] = {}
    for fault in leaders:
        chosen.update(_on(spoken, fault, FOR_LEADER))
    for fault in rivals:
        chosen.update(_on(spoken, fault, FOR_RIVAL))
    shown = (*leaders, *rivals, *tempting)
    rest = frozenset(session.reasoning.exclusions).difference(shown)
    for group in (*({fault} for fault in tempting), rest):
        if not any(one.excludes(group) for one in chosen.values()):
            chosen.update(_widest(spoken, group))
    draft = _Draft(session, spoken)
    for one in spoken:
        if one.rule in chosen:
            draft.rule(one)
    for fault in shown:
        draft.fault(fault, fault in leaders, chosen.values())
    draft.rest(rest, chosen.values())
    return Graph(tuple(draft.nodes.values()), tuple(dict.fromkeys(draft.edges)))


def _spoken(session: Session) -> list[_Spoken]:
    """The rules that fired, in order, each once."""
    groups: dict[str, list[_Spoken]] = {}
    for firing in session.reasoning.firings:
        rule = firing.rule
        groups.setdefault(rule.id, []).append(
            _Spoken(rule.id, firing.facts, rule.effects, rule.concludes, firing.doubtful)
        )
    return [
        _Spoken(
            name,
            tuple(dict.fromkeys(fact for one in ones for fact in one.facts)),
            tuple(effect for one in ones for effect in one.effects),
            tuple(dict.fromkeys(fact for one in ones for fact in one.concluded)),
            all(one.doubtful for one in ones),
        )
        for name, ones in groups.items()
    ]


def _faults(session: Session) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """The faults of the verdict, those left beside them, and the usual ones that rules rule out."""
    exclusions = session.reasoning.exclusions
    ranking = session.belief.ranking()
    leaders = session.verdict.faults[:LEADERS] or (ranking[0][0],)
    left = [fault for fault, share in ranking if share >= WORTH and fault not in exclusions and fault not in leaders]
    prior = dict(zip(session.circuit.faults, session.circuit.prior(session.complaint, session.second), strict=False))
    usual = sorted((fault for fault in exclusions if fault not in leaders), key=lambda fault: (-prior[fault], fault))
    return leaders, tuple(left[:RIVALS]), tuple(usual[:TEMPTING])


def _on(spoken: Iterable[_Spoken], fault: str, most: int) -> dict[str, _Spoken]:
    """The rules that say most of a fault."""
    found = [(says, one) for one in spoken if (says := one.on(fault)) is not None]
    found.sort(key=lambda pair: (_RANK[pair[0][0]] // 2, _STRENGTH[pair[0][1]]))
    return {one.rule: one for _, one in found[:most]}


def _widest(spoken: Iterable[_Spoken], faults: Collection[str]) -> dict[str, _Spoken]:
    """The rule that rules out most of these faults, if one does."""
    best = max(spoken, key=lambda one: len(one.excludes(faults)), default=None)
    return {best.rule: best} if best and best.excludes(faults) else {}


class _Draft:
    """Collects boxes and lines."""

    def __init__(self, session: Session, spoken: Iterable[_Spoken]) -> None:
        self.session = session
        self.concluding: dict[Fact, list[_Spoken]] = {}
        for one in spoken:
            for fact in one.concluded:
                self.concluding.setdefault(fact, []).append(one)
        self.nodes: dict[str, Node] = {}
        self.edges: list[Edge] = []

    def rule(self, one: _Spoken) -> None:
        """A rule, with the facts it rests on and what these follow from."""
        name = f"rule {one.rule}"
        if name in self.nodes:
            return
        base = self.session.base
        facts = [fact for fact in one.facts if fact[0] not in base.circumstances] or list(one.facts)
        shown = facts if len(facts) <= LIKE_FACTS else facts[: LIKE_FACTS - 1]
        for fact in shown:
            self.edges.append(Edge(self.fact(fact), name))
        if len(shown) < len(facts):
            more = f"more {one.rule}"
            self.nodes[more] = Node(more, "finding", f"and {len(facts) - len(shown)} more answers like these")
            self.edges.append(Edge(more, name))
        self.nodes[name] = Node(name, "rule", base.rules[one.rule].because)

    def fact(self, fact: Fact) -> str:
        """A finding or conclusion; the name of its box."""
        name = "fact {} {}".format(*fact)
        if name not in self.nodes:
            told = fact[0] in self.session.base.questions
            self.nodes[name] = Node(name, "finding" if told else "conclusion", self._words(fact))
            for one in [] if told else self.concluding.get(fact, [])[:CONCLUDING]:
                self.rule(one)
                self.edges.append(Edge(f"rule {one.rule}", name))
        return name

    def _words(self, fact: Fact) -> str:
        words = fact_words(self.session, *fact).rstrip(".")
        answer = self.session.answers.get(fact[0])
        if answer is not None and answer.reading is not None and answer.said:
            name, _, outcome = words.partition(": ")
            words = f"{name}: {answer.said} ({outcome[:1].lower()}{outcome[1:]})"
        return f"{words[:1].upper()}{words[1:]}"

    def fault(self, fault: str, leads: bool, chosen: Iterable[_Spoken]) -> None:
        """A fault and what is said of it; of one that is ruled out, only that."""
        session, name = self.session, f"fault {fault}"
        out = fault in session.reasoning.exclusions
        share = session.belief.share(fault)
        self.nodes[name] = Node(name, "fault", fault_name(session.base, fault), share, out, leads)
        for one in chosen:
            said = one.on(fault)
            if said is not None and (not out or leads or said[0] == "rules out"):
                self.edges.append(Edge(f"rule {one.rule}", name, said[0]))

    def rest(self, faults: Collection[str], chosen: Iterable[_Spoken]) -> None:
        """All other faults that are ruled out, as one box."""
        speaking = [one for one in chosen if one.excludes(faults)]
        if speaking:
            count = len(faults)
            words = f"{count} other suspect{'' if count == 1 else 's'}"
            self.nodes["rest"] = Node("rest", "fault", words, None, True)
            self.edges += [Edge(f"rule {one.rule}", "rest", "rules out") for one in speaking]
