"""Counts what a base holds, by technology too, and finds where it is thin: rules without a source, patterns bare."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from engine.base import Base
from engine.expectations import expectations
from engine.grounding import ground
from engine.references import ANY
from engine.schema import SECTIONS

PUBLISHED = frozenset({"read", "memory"})  # statuses of a source that stands outside the project


@dataclass(frozen=True)
class Lamp:
    """The counts of one technology: faults in play, questions that its rules look at, rules, worked cases."""

    technology: str
    faults: int
    questions: int
    rules: int
    cases: int


@dataclass(frozen=True)
class Pattern:
    """A complaint of a technology: the faults listed as behind it by name, and the worked cases that have it.

    `listed` counts faults with a frequency of that complaint; `any` those whose frequency is for any complaint.
    """

    technology: str
    complaint: str
    listed: int
    any: int
    cases: int


@dataclass(frozen=True)
class Stats:
    """All counts. `published` are rules with a source that can be looked up; `bare` the ids of those without."""

    counts: Mapping[str, int]
    lamps: tuple[Lamp, ...]
    patterns: tuple[Pattern, ...]
    bare: tuple[str, ...]

    @property
    def covered(self) -> int:
        """How many patterns have both faults listed and a worked case."""
        return sum(bool(one.listed and one.cases) for one in self.patterns)


def published(base: Base, names: tuple[str, ...]) -> bool:
    """Whether any of some sources is published outside the project."""
    return any(base.sources[name].status in PUBLISHED for name in names)


def stats(base: Base) -> Stats:
    """The counts of a base."""
    counts = {section: len(getattr(base, section)) for section in SECTIONS}
    counts["conclusions"] = len(base.conclusions)
    for kind in ("circumstance", "symptom", "test", "reading"):
        counts[f"questions_{kind}"] = sum(one.kind == kind for one in base.questions.values())
    counts["outcomes"] = sum(len(one.outcomes) for one in base.questions.values())
    bare = tuple(name for name, rule in base.rules.items() if not published(base, rule.source))
    counts["rules_published"] = len(base.rules) - len(bare)
    counts["cases_published"] = sum(published(base, case.source) for case in base.cases.values())
    counts["complaints"] = len(base.questions[base.roles.complaint].outcomes)
    patterns = tuple(_patterns(base))
    counts["patterns"] = len(patterns)
    return Stats(counts, tuple(_lamp(base, name) for name in base.technologies), patterns, bare)


def _lamp(base: Base, technology: str) -> Lamp:
    circuit = ground(base, technology)
    speaking = {rule.id for rule in circuit.rules if rule.effects or rule.concludes or base.rules[rule.id].advises}
    cases = sum(case.answers.get(base.roles.technology) == technology for case in base.cases.values())
    return Lamp(technology, len(circuit.faults), len(expectations(circuit).speaking), len(speaking), cases)


def _patterns(base: Base) -> Iterator[Pattern]:
    role, complaint_role = base.roles.technology, base.roles.complaint
    for technology, entry in base.technologies.items():
        for complaint in base.questions[complaint_role].outcomes:
            said = {role: technology, complaint_role: complaint}
            yield Pattern(
                technology,
                complaint,
                sum(complaint in row for row in entry.frequencies.values()),
                sum(ANY in row and complaint not in row for row in entry.frequencies.values()),
                sum(said.items() <= case.answers.items() for case in base.cases.values()),
            )
