"""Every outcome must be possible under some fault.

When the rules exclude every fault of a technology on one outcome, then whoever gives that answer is told that no known
fault can be. It is then the rules that are wrong, or a fault is missing.

Likely mend: narrow the selection that excludes so much, or add the fault that shows this way.

Fails:

    rules:
      it-hums:
        when: {hum: hums}
        excludes: [{section: [supply, feed, electronics, source]}]
        because: It works.
        source: common-practice

Passes:

    rules:
      hum-heard:
        when: {hum: hums}
        excludes: [ballast-dead, battery-weak]
        because: It works.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import ERROR, Survey, listed
from engine.problems import Problem

CODE = "impossible-outcomes"
RAW = False


def check(survey: Survey) -> Iterator[Problem]:
    """Outcomes that are impossible under every fault of a technology, in all circumstances."""
    where: dict[tuple[str, str], list[str]] = {}
    for technology, tables in survey.tables.items():
        possible: dict[tuple[str, str], bool] = {}
        for question, _, joint in tables:
            for outcome, row in zip(survey.base.questions[question].outcomes, joint, strict=True):
                seen = bool((row[:-1] > 0).any())
                possible[question, outcome] = possible.get((question, outcome), False) or seen
        for key, seen in possible.items():
            if not seen and survey.circuits[technology].faults:
                where.setdefault(key, []).append(technology)
    for (question, outcome), technologies in where.items():
        rules = _rules(survey, technologies[0], question, outcome)
        message = (
            f'{question}: under every fault of {listed(technologies)} the rules make "{outcome}" impossible; '
            f"see {listed(rules)}"
        )
        yield Problem(survey.key("questions", question, "outcomes", outcome), ERROR, CODE, message)


def _rules(survey: Survey, technology: str, question: str, outcome: str) -> list[str]:
    """The rules that exclude something on this outcome, those that exclude most first."""
    found: dict[str, int] = {}
    for sight in survey.sights[technology]:
        if (sight.question, sight.outcome) == (question, outcome):
            for rule in sight.rules:
                count = sum(len(effect.faults) for effect in rule.effects if effect.kind == "excludes")
                if count:
                    found[rule.id] = max(count, found.get(rule.id, 0))
    return sorted(found, key=lambda name: -found[name])
