"""A question must be able to change something.

It should be read by a rule that can fire, decide whether another question suits or is doubtful, feed a computation,
say that a tool is at hand, or be one that the program itself relies on.

Likely mend: write the rule that makes use of the answer, or take the question out.

Fails:

    questions:
      paint-look:
        kind: symptom
        title: the paint
        ask: How does the paint look?
        outcomes: {bright: {say: Bright.}, dull: {say: Dull.}}

Passes:

    questions:
      paint-look:
        kind: symptom
        title: the paint
        ask: How does the paint look?
        outcomes: {bright: {say: Bright.}, dull: {say: Dull.}}
    rules:
      dull-paint:
        when: {paint-look: dull}
        raises: {weak: plug-corroded}
        because: The car stands outside.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import WARNING, Survey
from engine.problems import Problem

CODE = "idle-questions"
RAW = False


def check(survey: Survey) -> Iterator[Problem]:
    """Questions that nothing makes use of."""
    used = set(_used(survey))
    for name in survey.base.questions:
        if name not in used:
            message = f'"{name}" changes nothing, whatever the answer; write a rule that looks at it, or take it out'
            yield Problem(survey.base.place("questions", name), WARNING, CODE, message)


def _used(survey: Survey) -> Iterator[str]:
    base = survey.base
    yield from (base.roles.technology, base.roles.complaint, *base.alone, *base.roles.showing)
    for rules in survey.live.values():
        yield from (leaf.name for rule in rules for leaf in (*rule.when, *rule.unless))
    for question in base.questions.values():
        yield from (*question.suits, *question.after, *question.first, *question.given.values())
        yield from (name for doubt in question.doubtful for name in doubt.when)
    yield from base.about_tools
    yield from (name for name, one in base.questions.items() if any(out.labels for out in one.outcomes.values()))
