"""Every selection and every fault that a rule names must meet a fault of a technology the rule can fire in.

A selection such as `{section: feed, mode: dead}` is spelled out for each technology. Where it meets no fault in any
of them it says nothing, and the rule does less than it reads.

Likely mend: mend the section, mode or part; add the fault to the frequencies of a technology; or take the word out.

Fails:

    rules:
      whole-wire:
        when: {bulb-look: whole}
        excludes: [filament-open, {section: source, mode: dead}]
        because: It is whole.
        source: common-practice

Passes:

    rules:
      whole-wire:
        when: {bulb-look: whole}
        excludes: [filament-open, {section: source, mode: open}]
        because: It is whole.
        source: common-practice
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping

from engine import schema
from engine.audit.survey import WARNING, Survey
from engine.grounding import ground
from engine.problems import Problem

CODE = "selects-nothing"
RAW = False
Path = tuple[int | str, ...]


def check(survey: Survey) -> Iterator[Problem]:
    """Selectors that meet no fault wherever their rule can fire."""
    parts = {f"{name}#{index}": (name, path, rule) for name, index, path, rule in _parts(survey)}
    alone = dataclasses.replace(survey.base, rules={key: rule for key, (_, _, rule) in parts.items()})
    fires = {technology: {rule.id for rule in rules} for technology, rules in survey.live.items()}
    met = {
        rule.id
        for technology in survey.base.technologies
        for rule in ground(alone, technology).rules
        if rule.effects and parts[rule.id][0] in fires[technology]
    }
    everywhere = set().union(*fires.values())
    for key, (name, path, _) in parts.items():
        if key not in met and name in everywhere:
            message = f'"{name}": this meets no fault of any technology in which the rule can fire'
            yield Problem(survey.at("rules", name, *path), WARNING, CODE, message)


def _parts(survey: Survey) -> Iterator[tuple[str, int, Path, schema.Rule]]:
    """Each selector of each rule as a rule of its own."""
    for name, rule in survey.base.rules.items():
        bare = rule.model_copy(update={"excludes": (), "proves": (), "raises": {}, "lowers": {}})
        found = [((kind, index), {kind: (one,)}) for kind in ("excludes", "proves") for index, one in _each(rule, kind)]
        strengths: list[tuple[Path, Mapping[str, object]]] = [
            ((kind, strength, index), {kind: {strength: (one,)}})
            for kind in ("raises", "lowers")
            for strength, selectors in getattr(rule, kind).items()
            for index, one in enumerate(selectors)
        ]
        every: list[tuple[Path, Mapping[str, object]]] = [*found, *strengths]
        for number, (path, update) in enumerate(every):
            yield name, number, path, bare.model_copy(update=dict(update))


def _each(rule: schema.Rule, kind: str) -> Iterator[tuple[int, str | schema.Selection]]:
    yield from enumerate(getattr(rule, kind))
