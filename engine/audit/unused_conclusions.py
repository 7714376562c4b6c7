"""A conclusion that nothing looks at changes nothing.

Each fact that rules conclude should be read by the `when` of a rule, by the `after` of a question or by a `doubtful`
condition.

Likely mend: let a rule read it; spell the value as the reader does; or take it out.

Fails:

    rules:
      plug-poor:
        when: {plug-look: green}
        concludes: {plug: poor}
        because: It is green.
        source: common-practice

Passes:

    rules:
      green-plug:
        when: {plug-look: green}
        concludes: {plug: poor}
        proves: plug-corroded
        advises: water-in-plug
        because: It is green.
        source: common-practice
      poor-plug:
        when: {plug: poor, fuse-look: whole}
        raises: {weak: plug-corroded}
        because: It is green.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import WARNING, Survey
from engine.problems import Problem

CODE = "unused-conclusions"
RAW = True


def check(survey: Survey) -> Iterator[Problem]:
    """Conclusions nobody reads, once each, at the first rule that makes them."""
    conditions = [rule.when for rule in survey.base.rules.values()]
    for question in survey.base.questions.values():
        conditions.extend((question.after, question.moot, *(doubt.when for doubt in question.doubtful)))
    read = {(name, value) for one in conditions for name, values in one.items() for value in values}
    for rule_name, rule in survey.base.rules.items():
        for name, value in rule.concludes.items():
            if (name, value) not in read:
                read.add((name, value))
                message = f'nothing looks at the conclusion "{name}: {value}"; let a rule read it, or take it out'
                yield Problem(survey.at("rules", rule_name, "concludes", name), WARNING, CODE, message)
