"""Reads an entry of the base aloud: what it says, who uses it, what it decides, its source, where it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from engine import schema
from engine.base import Base
from engine.costs import part_price
from engine.entries import (
    CONCLUSIONS,
    SINGULAR,
    circuits,
    conditions,
    effect_words,
    effects,
    named,
    plain,
    sources,
    title,
)
from engine.expectations import usual
from engine.references import LIGHT


@dataclass(frozen=True)
class Part:
    """Lines under a heading."""

    head: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Told:
    """An entry in plain words. `place` is where it stands; empty for what no file declares."""

    kind: str
    name: str
    title: str
    place: str
    parts: tuple[Part, ...]


def tell(base: Base, section: str, name: str) -> Told:
    """An entry in plain words; parts that have nothing to say are left out."""
    entry = None if section == CONCLUSIONS else getattr(base, section)[name]
    teller = _TELLERS.get(section) or _other(section)
    parts = tuple(Part(head, kept) for head, lines in teller(base, name, entry) if (kept := _kept(lines)))
    place = "" if section == CONCLUSIONS else str(base.place(section, name))
    return Told(SINGULAR[section], name, plain(base, title(base, section, name)), place, parts)


Lines = Iterator[tuple[str, Iterable[str]]]


def _kept(lines: Iterable[str]) -> tuple[str, ...]:
    return tuple(line for line in lines if line)


def _rule(base: Base, name: str, rule: schema.Rule) -> Lines:
    yield "When", _with_light(base, rule)
    yield "Unless", conditions(base, rule.unless)
    yield "Then it", [effect_words(base, effect, where) for effect, where in effects(base, name)]
    yield "So", [f"{key.replace('-', ' ')} is {value.replace('-', ' ')}" for key, value in rule.concludes.items()]
    yield "Look into", [named(base, "causes", [one for one in rule.advises if one in base.causes])]
    yield "Mind", [named(base, "cautions", [one for one in rule.advises if one in base.cautions])]
    yield "No more tests with", [named(base, "cautions", rule.bars)]
    yield "Stops the search", [named(base, "cautions", rule.stops)]
    yield "Because", [rule.because]
    yield "Source", sources(base, rule.source)
    followers = [one for one, other in base.rules.items() if any(fact in other.when for fact in rule.concludes)]
    yield "Used by", [_some(followers, 20)]


def _with_light(base: Base, rule: schema.Rule) -> list[str]:
    facts = {name: values for name, values in rule.when.items() if name != LIGHT or not rule.over}
    wanted = " or ".join(rule.when.get(LIGHT, ("any",)))
    light = f"another light: {wanted}; said for each, with the parts it runs through"
    return [*([light] if rule.over else []), *conditions(base, facts)]


def _question(base: Base, name: str, question: schema.Question) -> Lines:
    kind = question.kind
    yield "Kind", [f"{kind}: no evidence in itself" if kind == "circumstance" else kind]
    yield "Asks", [plain(base, question.ask)]
    yield "Do", [plain(base, line) for line in question.do]
    yield "Trap", [plain(base, question.trap or "")]
    yield "Takes", [_takes(base, question.minutes, question.access, question.tools)]
    yield "Mind", [named(base, "cautions", question.cautions)]
    yield "Only where", conditions(base, question.suits)
    yield "Only after", conditions(base, question.after)
    yield "Not once", conditions(base, question.moot)
    yield "Says little", [f"{'; or '.join(conditions(base, one.when))}: {one.because}" for one in question.doubtful]
    yield "Says little too", ["while the fault does not show" if question.showing else ""]
    for (outcome, entry), share in zip(question.outcomes.items(), usual(base, name), strict=True):
        seen = f" Seen in {share * 100:.2g} of 100 cars whose fault lies elsewhere." if kind != "circumstance" else ""
        heard = [f"{rule}: {_did(base, rule)}" for rule in _readers(base, name, outcome)]
        yield f"Answer {outcome}", [plain(base, entry.say) + seen, *heard]
    yield "Part of", [named(base, "forms", [one for one, form in base.forms.items() if name in form.items])]
    yield "Worked cases", [_some([one for one, case in base.cases.items() if name in case.answers])]


def _readers(base: Base, question: str, outcome: str) -> list[str]:
    """The rules that look at an outcome, in any technology; rules said for every light are among them."""
    found: dict[str, None] = {}
    for circuit in circuits(base).values():
        for rule in circuit.rules:
            if any(leaf.name == question and outcome in leaf.values for leaf in rule.when):
                found[rule.id] = None
    return list(found)


def _did(base: Base, rule: str) -> str:
    said = [effect_words(base, effect) for effect, _ in effects(base, rule)]
    said += [f"so {key.replace('-', ' ')} is {value}" for key, value in base.rules[rule].concludes.items()]
    more = len(base.rules[rule].when) > 1
    return ("with other facts, " if more else "") + ("; ".join(said) or "brings up advice")


def _takes(base: Base, minutes: float, access: str | None, tools: Iterable[str]) -> str:
    reached = f"; needs {named(base, 'access', [access])}" if access else ""
    using = named(base, "tools", tools)
    return f"{minutes:g} min{reached}{'; with ' + using if using else ''}"


def _fault(base: Base, name: str, fault: schema.Fault) -> Lines:
    yield "Is", [fault.says]
    yield "Both of", [named(base, "faults", fault.both)]
    sits = f"in the {base.nodes[fault.node].name}" if fault.node else ""
    yield "Sits", [", ".join(one for one in (sits, f"shows as {fault.mode}" if fault.mode else "") if one)]
    yield (
        "Behind",
        [
            f"{base.technologies[one].name}: "
            + ", ".join(f"{share:g} of 100 {complaint}" for complaint, share in row.items())
            for one, entry in base.technologies.items()
            if (row := entry.frequencies.get(name))
        ],
    )
    yield "Put right by", [named(base, "repairs", fault.repair)]
    yield "Brought about by", [named(base, "causes", fault.causes)]
    for kind, head in (
        ("proves", "Proved by"),
        ("excludes", "Ruled out by"),
        ("raises", "Likelier by"),
        ("lowers", "Less likely by"),
    ):
        yield head, [_some(_on(base, name, kind), 20)]
    yield "Worked cases", [_some([one for one, case in base.cases.items() if name in case.faults])]


def _on(base: Base, fault: str, kind: str) -> list[str]:
    found: dict[str, None] = {}
    for circuit in circuits(base).values():
        for rule in circuit.rules:
            if any(effect.kind == kind and fault in effect.faults for effect in rule.effects):
                found[rule.id] = None
    return list(found)


def _some(names: list[str], most: int = 8) -> str:
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def _repair(base: Base, name: str, repair: schema.Repair) -> Lines:
    part = repair.part
    yield (
        "Buy",
        [f"{part.ask_for} About {part_price(part):g} u, invented.", part.pair or "", part.never or ""] if part else [],
    )
    yield "Takes", [_takes(base, repair.minutes, repair.access, repair.tools)]
    yield "Mind", [named(base, "cautions", repair.dangers)]
    yield "Steps", [_step(base, step) for step in repair.steps]
    yield "Proof", [_step(base, step) for step in repair.proof]
    yield "Cures", [named(base, "faults", [one for one, fault in base.faults.items() if name in fault.repair])]
    yield "Makes stale", [named(base, "questions", repair.stale)]


def _step(base: Base, step: schema.RepairStep) -> str:
    """A step with the names of the cautions that come just before it."""
    mind = f"Mind: {', '.join(base.cautions[name].name for name in step.cautions)}. " if step.cautions else ""
    return f"{mind}{plain(base, step.do)}"


def _caution(base: Base, name: str, caution: schema.Caution) -> Lines:
    yield "Says", [caution.say]
    yield "Weight", ["must be acknowledged before the step" if caution.serious else "given before the step"]
    users = [one for one, question in base.questions.items() if name in question.cautions]
    yield "Given by questions", [named(base, "questions", users)]
    users = [one for one, repair in base.repairs.items() if name in repair.dangers]
    yield "Given by repairs", [named(base, "repairs", users)]
    users = [one for one, access in base.access.items() if name in access.cautions]
    yield "Given by access", [named(base, "access", users)]
    users = [one for one, rule in base.rules.items() if name in (*rule.advises, *rule.bars, *rule.stops)]
    yield "Used by rules", [_some(users, 20)]
    yield "Source", sources(base, caution.source)


def _cause(base: Base, name: str, cause: schema.Cause) -> Lines:
    yield "Look", [cause.look]
    yield "Mend", [cause.mend]
    yield "Mended by", [named(base, "repairs", cause.repair)]
    yield "Brings about", [named(base, "faults", [one for one, fault in base.faults.items() if name in fault.causes])]
    yield "Brought up by", [_some([one for one, rule in base.rules.items() if name in rule.advises], 20)]
    yield "Cleared by", conditions(base, cause.cleared)


def _technology(base: Base, name: str, technology: schema.Technology) -> Lines:
    yield "Is", [technology.says]
    yield "Chain", [named(base, "nodes", technology.chain)]
    yield "Shares parts with", [named(base, "questions", technology.paths)]
    by: dict[str, list[tuple[float, str]]] = {}
    for fault, row in technology.frequencies.items():
        for complaint, share in row.items():
            by.setdefault(complaint, []).append((share, fault))
    for complaint, rows in by.items():
        said = [f"{title(base, 'faults', fault)} {share:g}" for share, fault in sorted(rows, key=lambda one: -one[0])]
        yield f"Of 100 {complaint}", [_some(said, 12)]


def _conclusion(base: Base, name: str, _: None) -> Lines:
    for value in sorted(base.conclusions[name]):
        makers = [one for one, rule in base.rules.items() if rule.concludes.get(name) == value]
        yield f"Is {value} by", [_some(makers, 20)]
    yield "Used by", [_some([one for one, rule in base.rules.items() if name in rule.when], 20)]


def _term(base: Base, name: str, text: str) -> Lines:
    yield "Means", [text]
    word = name.replace("-", " ")
    users = [one for one, entry in base.questions.items() if word in f"{entry.ask} {' '.join(entry.do)}".casefold()]
    yield "Said in", [named(base, "questions", users)]


_USERS: Mapping[str, Callable[[Base, str], Mapping[str, list[str]]]] = {
    "nodes": lambda base, name: {
        "faults": [one for one, fault in base.faults.items() if fault.node == name],
        "technologies": [one for one, entry in base.technologies.items() if name in entry.chain],
    },
    "access": lambda base, name: {
        "questions": [one for one, entry in base.questions.items() if entry.access == name],
        "repairs": [one for one, entry in base.repairs.items() if entry.access == name],
    },
    "tools": lambda base, name: {
        "questions": [one for one, entry in base.questions.items() if name in entry.tools],
        "repairs": [one for one, entry in base.repairs.items() if name in entry.tools],
    },
    "sources": lambda base, name: {
        "rules": [one for one, entry in base.rules.items() if name in entry.source],
        "cautions": [one for one, entry in base.cautions.items() if name in entry.source],
        "cases": [one for one, entry in base.cases.items() if name in entry.source],
    },
}


def _other(section: str) -> Callable[[Base, str, Any], Lines]:
    """Entries that are little more than their fields: these as they stand, then who uses them."""

    def told(base: Base, name: str, entry: schema.Entry) -> Lines:
        for key, value in entry.model_dump(exclude_defaults=True).items():
            if key not in ("name", "title"):
                lines = (
                    [f"{one}: {_flat(two)}" for one, two in value.items()]
                    if isinstance(value, dict)
                    else [_flat(value)]
                )
                yield key.replace("_", " ").capitalize(), lines
        users = _USERS[section](base, name) if section in _USERS else {}
        for used_in, names in users.items():
            count = f"{len(names)}: " if len(names) > 8 else ""
            yield f"Used by {used_in}", [count + _some(names, 30) if names else ""]

    return told


def _flat(value: object) -> str:
    if isinstance(value, (list, tuple)):
        return ", ".join(map(_flat, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


_TELLERS: Mapping[str, Callable[[Base, str, Any], Lines]] = {
    "rules": _rule, "questions": _question, "faults": _fault, "repairs": _repair, "cautions": _caution,
    "causes": _cause, "technologies": _technology, "terms": _term, CONCLUSIONS: _conclusion,
}  # fmt: skip
