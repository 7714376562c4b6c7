"""What is declared should be used by something.

Repairs by faults; parts by a chain; tools by questions or repairs; cautions by questions, repairs or rules; causes by
faults or the advice of rules; sources by whatever names one; states of access by questions or repairs; terms by a
sentence.

Likely mend: use it, or take it out; a misspelt twin elsewhere is the usual reason.

Fails:

    causes:
      stone-chips:
        name: stone chips
        look: At the glass.
        mend: The glass.

Passes:

    causes:
      stone-chips:
        name: stone chips
        look: At the glass.
        mend: The glass.
    rules:
      whole-wire:
        when: {bulb-look: whole}
        excludes: filament-open
        advises: stone-chips
        because: It is whole.
        source: common-practice
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from engine import schema
from engine.audit.survey import ADVICE, Survey
from engine.audit.texts import texts
from engine.costs import way
from engine.problems import Problem

CODE = "unused"
RAW = False
WHO = {
    "repairs": "fault", "nodes": "chain", "tools": "question or repair", "cautions": "question, repair or rule",
    "causes": "fault or rule", "sources": "rule, caution or case", "access": "question or repair", "terms": "sentence",
}  # fmt: skip


def check(survey: Survey) -> Iterator[Problem]:
    """Declared things that nothing uses."""
    used = _used(survey)
    for section, who in WHO.items():
        for name in getattr(survey.base, section):
            if name not in used[section]:
                message = f'no {who} uses "{name}"; use it, or take it out'
                yield Problem(survey.base.place(section, name), ADVICE, CODE, message)


def _used(survey: Survey) -> Mapping[str, set[str]]:
    base = survey.base
    rules = base.rules.values()
    steps: list[schema.Question | schema.Repair] = [*base.questions.values(), *base.repairs.values()]
    at_steps = [step for repair in base.repairs.values() for step in (*repair.steps, *repair.proof)]
    cautioned = (entry.cautions for entry in (*steps, *at_steps, *base.access.values()))
    from_rules = {name for rule in rules for name in (*rule.advises, *rule.bars, *rule.stops)}
    sourced: list[schema.Rule | schema.Caution | schema.Case] = [
        *rules, *base.cautions.values(), *base.cases.values()
    ]  # fmt: skip
    return {
        "repairs": {name for fault in base.faults.values() for name in fault.repair},
        "nodes": {name for technology in base.technologies.values() for name in technology.chain},
        "tools": {name for step in (*steps, *at_steps) for name in step.tools},
        "cautions": {name for one in cautioned for name in one} | from_rules,
        "causes": from_rules.union(*(fault.causes for fault in base.faults.values())),
        "sources": {name for one in sourced for name in one.source},
        "access": {name for step in steps for name in way(base, step.access)},
        "terms": set(_terms(survey)),
    }


def _terms(survey: Survey) -> Iterator[str]:
    """The terms whose words occur in a sentence other than their own meaning."""
    said = [(text.section, text.entry, _stems(text.words)) for text in texts(survey)]
    for term in survey.base.terms:
        wanted = _stems(term.replace("-", " "))
        if any((section, entry) != ("terms", term) and wanted <= words for section, entry, words in said):
            yield term


def _stems(text: str) -> set[str]:
    return {_stem(word) for word in re.findall(r"[a-z]+", text.lower())}


def _stem(word: str) -> str:
    for ending in ("ing", "ies", "ied", "ed", "es", "s", "y", "e"):
        if word.endswith(ending) and len(word) > len(ending) + 2:
            return word.removesuffix(ending)
    return word
