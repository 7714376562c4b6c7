"""Checks that every word of a knowledge base that names something names something that is declared."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from typing import Any, NamedTuple

from engine import schema
from engine.base import SETTINGS, Base
from engine.problems import Place, Problem, error, nearest
from engine.yamltree import Tree, find, key_place

Path = tuple[int | str, ...]
ANY = "any"
LIGHT, LIGHT_PATH = "light", "path"


class Use(NamedTuple):
    """A word that names something: where in the entry, the word, what is allowed, and what it is called."""

    path: Path
    word: str
    allowed: Collection[str]
    what: str


def check(base: Base, trees: Mapping[tuple[str, str], Tree], roles: Tree) -> Iterator[Problem]:
    """A problem for every use of a name that is not declared. What is declared but broken counts as declared."""
    broken = {name for section, name in trees if name not in getattr(base, section)}
    for (section, name), tree in trees.items():
        entry = getattr(base, section).get(name)
        finder = _FINDERS.get(section)
        if entry is None or finder is None:
            continue
        for use in finder(base, entry):
            if use.word not in use.allowed and use.word not in broken:
                message = f'{section} "{name}": there is no {use.what} "{use.word}"{nearest(use.word, use.allowed)}'
                yield error(_place(tree, use), "unknown-name", message)
    for name in SETTINGS:
        if name not in base.settings:
            message = f'settings: "{name}" is missing; take it from the shipped base'
            yield error(roles.place, "missing-setting", message)
    for use in _roles(base):
        if use.word not in use.allowed and use.word not in broken:
            message = f'roles: there is no {use.what} "{use.word}"{nearest(use.word, use.allowed)}'
            yield error(_place(roles, use), "unknown-name", message)


def _place(tree: Tree, use: Use) -> Place:
    """Where the word stands: as a key, or as what a key leads to."""
    return key_place(tree, use.path) if use.path[-1] == use.word else find(tree, use.path)


def _names(path: Path, words: Collection[str], allowed: Collection[str], what: str) -> Iterator[Use]:
    for index, word in enumerate(words):
        yield Use((*path, index), word, allowed, what)


def _conditions(
    base: Base, path: Path, conditions: schema.Conditions, only: str = "", extra: Collection[str] = ()
) -> Iterator[Use]:
    """The facts that conditions name and their values; `only` narrows the names to one kind of question."""
    for name, values in conditions.items():
        if name in extra:
            continue
        if only == "circumstance":
            yield Use((*path, name), name, base.circumstances, "circumstance")
        else:
            yield Use((*path, name), name, {*base.questions, *base.conclusions, *extra}, "question or conclusion")
        question = base.questions.get(name)
        allowed = set(question.outcomes) if question else base.conclusions.get(name)
        if allowed is not None:
            for index, value in enumerate(values):
                what = f"outcome of {name}" if question else f"value concluded for {name}"
                yield Use((*path, name, index), value, allowed, what)


def _question(base: Base, question: schema.Question) -> Iterator[Use]:
    if question.access:
        yield Use(("access",), question.access, base.access, "access")
    yield from _names(("tools",), question.tools, base.tools, "tool")
    yield from _names(("cautions",), question.cautions, base.cautions, "caution")
    yield from _conditions(base, ("suits",), question.suits, "circumstance")
    yield from _conditions(base, ("after",), question.after)
    yield from _conditions(base, ("moot",), question.moot)
    for index, doubt in enumerate(question.doubtful):
        yield from _conditions(base, ("doubtful", index, "when"), doubt.when)
    yield from _names(("first",), question.first, base.questions, "question")
    yield from _names(("across",), question.across, base.nodes, "node")
    for name, value in question.given.items():
        if not value[:1].isdecimal() and value[:1] not in ("-", "."):
            yield Use(("given", name), value, base.questions, "figure or question")


def _never(base: Base, never: schema.Never) -> Iterator[Use]:
    yield from _names(("source",), never.source, base.sources, "source")


def _form(base: Base, form: schema.Form) -> Iterator[Use]:
    yield from _names(("items",), form.items, base.questions, "question")
    for item in form.items:
        if item in base.questions and form.rest is not None:
            yield Use(("rest",), form.rest, base.questions[item].outcomes, f"outcome of {item}")


def _fault(base: Base, fault: schema.Fault) -> Iterator[Use]:
    if fault.node:
        yield Use(("node",), fault.node, base.nodes, "node")
    yield from _names(("both",), fault.both, base.faults, "fault")
    yield from _names(("repair",), fault.repair, base.repairs, "repair")
    for technology, by_complaint in fault.frequencies.items():
        yield Use(("frequencies", technology), technology, base.technologies, "technology")
        yield from _complaints(base, ("frequencies", technology), by_complaint)
    yield from _names(("causes",), fault.causes, base.causes, "cause")


def _technology(base: Base, technology: schema.Technology) -> Iterator[Use]:
    yield from _names(("chain",), technology.chain, base.nodes, "node")
    for light, steps in technology.paths.items():
        yield Use(("paths", light), light, base.questions, "question")
        for index, step in enumerate(steps):
            at: Path = ("paths", light, index)
            if isinstance(step, str):
                yield Use(at, step, technology.chain, "part of the chain")
            else:
                yield Use((*at, "node"), step.node, technology.chain, "part of the chain")
                yield from _conditions(base, (*at, "when"), step.when, "circumstance")
                yield from _conditions(base, (*at, "unless"), step.unless, "circumstance")
    for fault, by_complaint in technology.frequencies.items():
        yield Use(("frequencies", fault), fault, base.faults, "fault")
        yield from _complaints(base, ("frequencies", fault), by_complaint)


def _complaints(base: Base, path: Path, by_complaint: Collection[str]) -> Iterator[Use]:
    question = base.questions.get(base.roles.complaint)
    allowed = {*question.outcomes, ANY} if question else set()
    for complaint in by_complaint if allowed else ():
        yield Use((*path, complaint), complaint, allowed, "complaint")


def _selectors(base: Base, path: Path, selectors: Collection[str | schema.Selection]) -> Iterator[Use]:
    sections = {node.section for node in base.nodes.values()}
    modes = {fault.mode for fault in base.faults.values() if fault.mode}
    for index, selector in enumerate(selectors):
        at: Path = (*path, index)
        if isinstance(selector, str):
            yield Use(at, selector, base.faults, "fault")
            continue
        yield from _names((*at, "node"), selector.node, {*base.nodes, LIGHT_PATH}, "node")
        yield from _names((*at, "section"), selector.section, sections, "section")
        yield from _names((*at, "mode"), selector.mode, modes, "mode")
        yield from _names((*at, "kind"), selector.kind, ("part", "setting", "elsewhere", "normal"), "kind")
        yield from _names((*at, "but"), selector.but, base.faults, "fault")
        for key in ("upstream_of", "downstream_of"):
            word = getattr(selector, key)
            if word:
                yield Use((*at, key), word, base.nodes, "node")


def _rule(base: Base, rule: schema.Rule) -> Iterator[Use]:
    extra = (LIGHT,) if rule.over else ()
    yield from _conditions(base, ("when",), rule.when, extra=extra)
    yield from _conditions(base, ("unless",), rule.unless, "circumstance")
    for key in ("excludes", "proves"):
        yield from _selectors(base, (key,), getattr(rule, key))
    for key in ("raises", "lowers"):
        for strength, selectors in getattr(rule, key).items():
            yield from _selectors(base, (key, strength), selectors)
    yield from _names(("advises",), rule.advises, {*base.causes, *base.cautions}, "cause or caution")
    yield from _names(("bars",), rule.bars, base.cautions, "caution")
    yield from _names(("stops",), rule.stops, base.cautions, "caution")
    yield from _names(("source",), rule.source, base.sources, "source")
    for name in rule.concludes:
        yield Use(
            ("concludes", name),
            name,
            set(base.conclusions) - set(base.questions),
            "conclusion apart from a question's name",
        )


def _repair(base: Base, repair: schema.Repair) -> Iterator[Use]:
    if repair.access:
        yield Use(("access",), repair.access, base.access, "access")
    yield from _names(("tools",), repair.tools, base.tools, "tool")
    yield from _names(("cautions",), repair.cautions, base.cautions, "caution")
    for part in ("steps", "proof"):
        for index, step in enumerate(getattr(repair, part)):
            yield from _names((part, index, "cautions"), step.cautions, base.cautions, "caution")
            yield from _names((part, index, "tools"), step.tools, base.tools, "tool")
    yield from _names(("stale",), repair.stale, base.questions, "question")


def _caution(base: Base, caution: schema.Caution) -> Iterator[Use]:
    yield from _names(("source",), caution.source, base.sources, "source")


def _cause(base: Base, cause: schema.Cause) -> Iterator[Use]:
    yield from _conditions(base, ("cleared",), cause.cleared)
    yield from _names(("repair",), cause.repair, base.repairs, "repair")


def _access(base: Base, access: schema.Access) -> Iterator[Use]:
    if access.within:
        yield Use(("within",), access.within, base.access, "access")
    yield from _names(("cautions",), access.cautions, base.cautions, "caution")


def _tool(base: Base, tool: schema.Tool) -> Iterator[Use]:
    yield from _conditions(base, ("at_hand",), tool.at_hand, "circumstance")


def _case(base: Base, case: schema.Case) -> Iterator[Use]:
    for name, answer in case.answers.items():
        yield Use(("answers", name), name, base.questions, "question")
        question = base.questions.get(name)
        if question and question.unit is None:
            yield Use(("answers", name), answer, {*question.outcomes, schema.UNSURE}, f"outcome of {name}")
    yield from _names(("faults",), case.faults, base.faults, "fault")
    yield from _names(("never",), case.never, base.faults, "fault")
    yield from _names(("source",), case.source, base.sources, "source")


def _roles(base: Base) -> Iterator[Use]:
    yield Use(("technology",), base.roles.technology, base.circumstances, "circumstance")
    yield Use(("complaint",), base.roles.complaint, base.circumstances, "circumstance")
    if base.roles.second is not None:
        yield Use(("second",), base.roles.second, base.circumstances, "circumstance")
    yield from _names(("beams",), base.roles.beams, base.questions, "question")
    yield from _names(("carried",), base.roles.carried, base.questions, "question")
    yield from _names(("anew",), base.roles.anew, base.roles.opening, "entry of `opening`")
    yield from _conditions(base, ("showing",), base.roles.showing, "circumstance")
    yield from _conditions(base, ("covered",), base.roles.covered, "circumstance")
    yield from _names(("opening",), base.roles.opening, {*base.questions, *base.forms}, "question or form")
    technology = base.questions.get(base.roles.technology)
    for outcome in technology.outcomes if technology else ():
        yield Use(("technology",), outcome, base.technologies, "technology")


_FINDERS: Mapping[str, Callable[[Base, Any], Iterator[Use]]] = {
    "questions": _question,
    "never": _never,
    "forms": _form,
    "faults": _fault,
    "technologies": _technology,
    "rules": _rule,
    "repairs": _repair,
    "cautions": _caution,
    "causes": _cause,
    "access": _access,
    "tools": _tool,
    "cases": _case,
}
