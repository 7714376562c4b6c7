"""Random rules and random whole bases, invented from a seed, to try laws on."""

from __future__ import annotations

import json
import random
from collections.abc import Mapping
from functools import cache
from typing import Any

from engine._experta import Leaf
from engine.base import Base
from engine.grounding import Circuit, GroundRule
from engine.yamltree import plain, read_text
from tests.small import TEXT, base_from

VALUES = ("a", "b", "c")
CIRCUMSTANCES = ("c0", "p0", "z0")  # in order of names some come before the findings, some after
QUESTIONS = tuple(f"q{number}" for number in range(5))
CONCLUSIONS = tuple(f"d{number}" for number in range(4))
Json = dict[str, Any]


def leaf(rng: random.Random, name: str) -> Leaf:
    """A condition on a fact: one of its values, or any of several."""
    return Leaf(name, frozenset(rng.sample(VALUES, rng.choice((1, 2, 2, 2, 3)))))


def ground_rules(rng: random.Random, most: int = 24) -> tuple[GroundRule, ...]:
    """Rules over findings, circumstances and conclusions, chaining as they like, round in circles too."""
    rules = []
    for number in range(rng.randint(most // 3, most)):
        names = rng.sample((*QUESTIONS, *CIRCUMSTANCES, *CONCLUSIONS), rng.choice((1, 1, 1, 2, 2, 3)))
        barred = rng.sample(CIRCUMSTANCES, rng.choice((0, 0, 0, 0, 0, 1, 1)))
        concluded = tuple((name, rng.choice(VALUES)) for name in rng.sample(CONCLUSIONS, rng.choice((0, 1, 1, 2))))
        when, unless = (tuple(leaf(rng, name) for name in group) for group in (names, barred))
        rules.append(GroundRule(f"r{number}", when, unless, concluded, ()))
    return tuple(rules)


def findings(rng: random.Random, most: int = 5) -> Mapping[str, str]:
    """Some answers and some circumstances; few enough for every subset to be tried."""
    names = [*rng.sample(QUESTIONS, rng.randint(3, most)), *rng.sample(CIRCUMSTANCES, rng.randint(2, 3))]
    return {name: rng.choice(VALUES) for name in names}


def circuit(rules: tuple[GroundRule, ...]) -> Circuit:
    """A circuit of these rules and no faults."""
    return Circuit(_vocabulary(), None, (), rules)


@cache
def _vocabulary() -> Base:
    return base_of(_frame(random.Random(0), 2))


def random_base(seed: int, faults: int = 5, rules: int = 12) -> Base:
    """A whole base: two technologies, some faults with frequencies and repairs, questions, rules of every effect."""
    return base_of(random_entries(seed, faults, rules))


def base_of(entries: Json) -> Base:
    """The base that entries make; raises KnowledgeError as any other."""
    return base_from(json.dumps(entries), "random.yaml")


def random_entries(seed: int, faults: int = 5, rules: int = 12) -> Json:
    """The entries of a random base, as they would stand in a file."""
    rng = random.Random(seed)
    entries = _frame(rng, rng.randint(2, faults))
    known = list(entries["faults"])
    made = {f"r{number}": _rule(rng, known) for number in range(rng.randint(1, rules))}
    concluded: dict[str, set[str]] = {}
    for rule in made.values():
        for name, value in rule["concludes"].items():
            concluded.setdefault(name, set()).add(value)
    for rule in made.values():  # a rule may only wait for what some rule concludes
        kept = {name: values for name, values in rule["when"].items() if name not in CONCLUSIONS}
        waits = {name: sorted(concluded[name]) for name in rule["when"] if name in concluded}
        rule["when"] = {**kept, **waits} or {rng.choice(QUESTIONS): rng.choice(VALUES)}
    entries["rules"] = made
    return entries


def _rule(rng: random.Random, faults: list[str]) -> Json:
    names = rng.sample((*QUESTIONS, *QUESTIONS, *CIRCUMSTANCES, *CONCLUSIONS), rng.choice((1, 1, 1, 2, 2)))
    rule: Json = {"when": {name: rng.sample(VALUES, rng.choice((1, 1, 2))) for name in names}}
    rule["unless"] = {name: rng.choice(VALUES) for name in rng.sample(CIRCUMSTANCES, rng.choice((0, 0, 0, 1)))}
    rule["concludes"] = {name: rng.choice(VALUES) for name in rng.sample(CONCLUSIONS, rng.choice((0, 0, 1)))}
    for kind in rng.sample(("excludes", "proves", "raises", "lowers"), rng.choice((1, 1, 2))):
        meant: Any = rng.sample(faults, rng.randint(1, min(2, len(faults))))
        rule[kind] = meant if kind in ("excludes", "proves") else {rng.choice(("weak", "moderate", "strong")): meant}
    return {**rule, "because": "It was invented.", "source": "invented"}


def _question(rng: random.Random, kind: str) -> Json:
    shares = [rng.uniform(0.1, 1) for _ in VALUES]
    outcomes = {
        value: {"say": f"It is {value}.", "usual": round(share / sum(shares), 3)}
        for value, share in zip(VALUES, shares, strict=True)
    }
    where = rng.choice(({}, {"access": "open"}, {"access": "out"}))
    minutes = rng.choice((0.5, 1, 2, 5))
    return {"kind": kind, "title": "a question", "ask": "What?", "minutes": minutes, "outcomes": outcomes, **where}


def _frame(rng: random.Random, faults: int) -> Json:
    """Everything but the rules."""
    small: Any = plain(read_text(TEXT, "small.yaml"))
    names = [f"f{number}" for number in range(faults)]
    nodes = {f"n{number}": {"name": f"node {number}", "section": "feed"} for number in range(3)}
    roles = {"technology": "kind", "complaint": "complaint", "showing": {"c0": "c"}, "opening": ["kind", "complaint"]}
    entries: Json = {
        "roles": {**roles, "invented": "Invented."},
        "settings": small["settings"],
        "sources": small["sources"],
        "access": {name: {**entry, "minutes": rng.choice((1, 5, 20))} for name, entry in small["access"].items()},
        "nodes": nodes,
        "faults": {name: _fault(rng, name) for name in names},
        "repairs": {f"m-{name}": _repair(rng) for name in names},
        "questions": {
            "kind": _choice("lamp", "other"),
            "complaint": _choice("dead", "dim"),
            **{name: _question(rng, "circumstance") for name in CIRCUMSTANCES},
            **{name: _question(rng, rng.choice(("symptom", "test"))) for name in QUESTIONS},
        },
    }
    if faults > 2 and rng.random() < 0.5:
        both = {
            "name": "two at once",
            "says": "Both.",
            "both": names[:2],
            "repair": [f"m-{name}" for name in names[:2]],
        }
        entries["faults"]["pair"] = both
    entries["technologies"] = {
        kind: {
            "name": kind,
            "says": "Invented.",
            "chain": list(nodes),
            "paths": {},
            "frequencies": {name: _frequency(rng) for name in entries["faults"]},
        }
        for kind in ("lamp", "other")
    }
    return entries


def _choice(*outcomes: str) -> Json:
    said = {name: {"say": f"It is {name}."} for name in outcomes}
    return {"kind": "circumstance", "title": "a choice", "ask": "Which?", "outcomes": said}


def _fault(rng: random.Random, name: str) -> Json:
    repair = f"m-{name}" if rng.random() < 0.8 else "m-f0"
    node, mode = rng.choice(("n0", "n1", "n2")), rng.choice(("open", "resistive"))
    return {"name": f"fault {name}", "says": "It is faulty.", "node": node, "mode": mode, "repair": repair}


def _repair(rng: random.Random) -> Json:
    price = rng.choice((0, 5, 20, 100))
    part = {"part": {"ask_for": "a part", "new": [price, price]}} if price else {}
    where = rng.choice(({}, {"access": "open"}, {"access": "out"}))
    return (
        {"name": "mend it", "minutes": rng.choice((5, 15, 40)), "steps": ["Mend it."], "proof": ["Try it."]}
        | part
        | where
    )


def _frequency(rng: random.Random) -> Json:
    return {"dead": round(rng.uniform(0, 60), 1), rng.choice(("dim", "any")): round(rng.uniform(0, 60), 1)}
