"""The knowledge base in memory: every entry by section and id, with the place it stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from engine import schema
from engine.problems import Place
from engine.tables import NO_TABLES, Tables

SETTINGS = (
    "asking-minutes",
    "attempt-minutes",
    "dud-share",
    "hour-value",
    "likely-share",
    "looking-share",
    "moderate",
    "proof",
    "proved-share",
    "recheck-at-once",
    "recheck-lost",
    "recheck-share",
    "referral-covered",
    "referral-price",
    "slip-circumstance",
    "slip-doubtful",
    "slip-reading",
    "slip-symptom",
    "slip-test",
    "stray-frequency",
    "strong",
    "unknown-share",
    "unknown-verdict",
    "weak",
)  # what the program computes with; a base declares each


@dataclass(frozen=True, eq=False)
class Base:
    """A knowledge base that has been read and whose references all resolve. Compared by identity."""

    roles: schema.Roles
    questions: Mapping[str, schema.Question]
    never: Mapping[str, schema.Never]
    forms: Mapping[str, schema.Form]
    nodes: Mapping[str, schema.Node]
    faults: Mapping[str, schema.Fault]
    technologies: Mapping[str, schema.Technology]
    rules: Mapping[str, schema.Rule]
    repairs: Mapping[str, schema.Repair]
    cautions: Mapping[str, schema.Caution]
    causes: Mapping[str, schema.Cause]
    sources: Mapping[str, schema.Source]
    access: Mapping[str, schema.Access]
    tools: Mapping[str, schema.Tool]
    terms: Mapping[str, str]
    settings: Mapping[str, schema.Setting]
    cases: Mapping[str, schema.Case]
    places: Mapping[tuple[str, str], Place] = field(repr=False)
    tables: Tables = field(default=NO_TABLES, repr=False)

    def place(self, section: str, entry: str) -> Place:
        """Where an entry stands."""
        return self.places[section, entry]

    def setting(self, name: str) -> float:
        """The figure of a setting as shipped."""
        return self.settings[name].value

    def rest(self, form: str, item: str) -> str:
        """The outcome of an item of a form that the person does not name."""
        return self.forms[form].rest or next(iter(self.questions[item].outcomes))

    def items(self, names: Iterable[str]) -> tuple[str, ...]:
        """The questions among names of questions and forms, forms spelled out."""
        return tuple(item for name in names for item in (self.forms[name].items if name in self.forms else (name,)))

    @cached_property
    def circumstances(self) -> frozenset[str]:
        """The questions whose answers are facts about vehicle or complaint, and no evidence."""
        return frozenset(name for name, question in self.questions.items() if question.kind == "circumstance")

    @cached_property
    def complaints(self) -> frozenset[str]:
        """What a lamp can do wrong."""
        return frozenset(self.questions[self.roles.complaint].outcomes)

    @cached_property
    def alone(self) -> Mapping[str, str]:
        """The answer that there is no second complaint."""
        second = self.roles.second
        if second is None:
            return {}
        return {second: next(one for one in self.questions[second].outcomes if one not in self.complaints)}

    @cached_property
    def about_tools(self) -> tuple[str, ...]:
        """The circumstances that say which tools are at hand."""
        return tuple(dict.fromkeys(name for tool in self.tools.values() for name in tool.at_hand))

    @cached_property
    def order(self) -> Mapping[str, int]:
        """The place of each question in the base: the one order in which facts are declared."""
        return {name: index for index, name in enumerate(self.questions)}

    @cached_property
    def conclusions(self) -> Mapping[str, frozenset[str]]:
        """The values that rules can conclude, by the name of the conclusion."""
        found: dict[str, set[str]] = {}
        for rule in self.rules.values():
            for name, value in rule.concludes.items():
                found.setdefault(name, set()).add(value)
        return {name: frozenset(values) for name, values in found.items()}
