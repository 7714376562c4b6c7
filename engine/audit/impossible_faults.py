"""Under every fault, every question must have an answer.

When the rules exclude a fault whatever a question is answered, asking it clears the fault, which cannot be. The sums
then leave that question out for the fault, so nothing crashes, but the rules are wrong.

Likely mend: see which of the rules in the message goes too far; leave the fault out of it with `but:`.

Fails:

    rules:
      whole-too:
        when: {plug-look: [clean, green]}
        excludes: fuse-open
        because: Somebody pulled the plug.
        source: common-practice

Passes:

    rules:
      green-plug:
        when: {plug-look: green}
        proves: plug-corroded
        advises: water-in-plug
        excludes: fuse-open
        because: Something has passed.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import ERROR, Survey, conditions_text, listed
from engine.problems import Problem

CODE = "impossible-faults"
RAW = False


def check(survey: Survey) -> Iterator[Problem]:
    """Pairs of question and fault in which every outcome is excluded, once each, with the rules that do it."""
    seen: set[tuple[str, str]] = set()
    for technology, tables in survey.tables.items():
        faults = survey.circuits[technology].faults
        for question, context, joint in tables:
            for fault, total in zip(faults, joint.sum(axis=0), strict=False):
                if total <= 0 and (question, fault) not in seen:
                    seen.add((question, fault))
                    rules = _rules(survey, technology, question, context, fault)
                    told = conditions_text({name: [value] for name, value in context})
                    message = f'{question}: with "{fault}" no answer is possible ({told}); see {listed(rules)}'
                    yield Problem(survey.key("rules", rules[-1], "excludes"), ERROR, CODE, message)


def _rules(
    survey: Survey, technology: str, question: str, context: tuple[tuple[str, str], ...], fault: str
) -> list[str]:
    return list(
        dict.fromkeys(
            rule.id
            for sight in survey.sights[technology]
            if sight.question == question and sight.context == context
            for rule in sight.rules
            for effect in rule.effects
            if effect.kind == "excludes" and fault in effect.faults
        )
    )
