"""Finds entries of the base by id or by words, and puts ids, conditions and effects into words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from engine import schema
from engine.base import Base
from engine.grounding import Circuit, Effect, ground
from engine.problems import nearest
from engine.session import Session
from engine.wording import fact_words, fill, in_words

CONCLUSIONS = "conclusions"  # no section of a file: what rules conclude
SECTIONS = (*schema.SECTIONS, CONCLUSIONS)
SINGULAR = {
    "questions": "question", "never": "what is never measured", "forms": "form", "nodes": "part of the chain",
    "faults": "fault", "technologies": "technology", "rules": "rule", "repairs": "repair", "cautions": "caution",
    "causes": "root cause", "sources": "source", "access": "state of access", "tools": "tool", "terms": "term",
    "settings": "setting", "cases": "worked case", CONCLUSIONS: "conclusion",
}  # fmt: skip
VERBS = {"excludes": "rules out", "proves": "proves", "raises": "speaks for", "lowers": "speaks against"}
STATUS = {"read": "read", "memory": "from memory", "practice": "common practice", "invented": "invented"}


def find(base: Base, word: str) -> list[tuple[str, str]]:
    """The entries a word means, as section and id: by id, else by name, else those whose name has all its words."""
    said = " ".join(word.casefold().split())
    names = {(section, one): title(base, section, one) for section in SECTIONS for one in getattr(base, section)}
    by_id = [key for key in names if key[1] == said]
    by_name = [key for key, name in names.items() if name.casefold() == said]
    parts = said.replace("-", " ").split()
    by_words = [key for key, name in names.items() if parts and _has(f"{key[1]} {name}", parts)]
    return by_id or by_name or sorted(by_words, key=lambda key: key[0] == "rules")


def _has(text: str, parts: Iterable[str]) -> bool:
    return all(one in text.casefold() for one in parts)


def near(base: Base, word: str) -> str:
    """A clause that names the id nearest to a word that means nothing; empty when none is near."""
    return nearest(word.casefold(), [one for section in SECTIONS for one in getattr(base, section)])


def title(base: Base, section: str, name: str) -> str:
    """What an entry is called."""
    if section in ("terms", "settings", CONCLUSIONS, "rules", "cases"):
        return in_words(name)
    entry = getattr(base, section)[name]
    return plain(base, str(getattr(entry, "name", None) or getattr(entry, "title", name)))


def named(base: Base, section: str, names: Iterable[str]) -> str:
    """Some entries in words, each with its id where that says more."""
    return ", ".join(_named(title(base, section, name), name) for name in names)


def _named(words: str, name: str) -> str:
    return words if words.replace(" ", "-") == name else f"{words} ({name})"


def plain(base: Base, text: str) -> str:
    """A text of the base as said before anything is known: `{this}` and the like become ordinary words."""
    return fill(Session(base), text)


def conditions(base: Base, facts: schema.Conditions) -> list[str]:
    """Conditions in words, one each."""
    session = Session(base)
    found = []
    for name, values in facts.items():
        said = [_value(session, name, value) for value in values]
        head = plain(base, base.questions[name].title) if name in base.questions else in_words(name)
        found.append(f"{head} ({name}): {', or '.join(said)}")
    return found


def _value(session: Session, name: str, value: str) -> str:
    if name not in session.base.questions:
        return in_words(value)
    said = fact_words(session, name, value).partition(": ")[2].rstrip(".")
    return f"{value} ({said})" if said.casefold() != in_words(value) else value


def stretch(base: Base, fault: str) -> str:
    """The stretch of the chain that a fault sits in."""
    node = base.faults[fault].node
    return base.nodes[node].section if node else "two at once"


def circuits(base: Base) -> Mapping[str, Circuit]:
    """The circuit of every technology."""
    return {name: ground(base, name) for name in base.technologies}


def effects(base: Base, rule: str) -> list[tuple[Effect, tuple[str, ...]]]:
    """What a rule does, over all technologies: each effect once with all its faults, and where it is so.

    No technologies are named where it is so in all of them.
    """
    found: dict[tuple[str, str], dict[str, set[str]]] = {}
    for technology, circuit in circuits(base).items():
        for one in circuit.rules:
            if one.id == rule:
                for effect in one.effects:
                    by = found.setdefault((effect.kind, effect.strength), {})
                    by.setdefault(technology, set()).update(effect.faults)
    return [
        (
            Effect(kind, strength, frozenset().union(*by.values())),
            () if len(by) == len(base.technologies) else tuple(by),
        )
        for (kind, strength), by in found.items()
    ]


def effect_words(base: Base, effect: Effect, where: tuple[str, ...] = ()) -> str:
    """An effect in words, with its faults in the order of the base."""
    strength = f" ({effect.strength})" if effect.strength else ""
    names = named(base, "faults", [fault for fault in base.faults if fault in effect.faults])
    place = f"; only for {named(base, 'technologies', where)}" if where else ""
    return f"{VERBS[effect.kind]}{strength} {names}{place}"


def sources(base: Base, names: Iterable[str]) -> list[str]:
    """Sources in words, each with how well it is known."""
    return [f"{base.sources[name].title.rstrip('.')} ({STATUS[base.sources[name].status]})" for name in names]
