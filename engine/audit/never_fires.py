"""A rule that can never fire teaches nothing, and is usually a slip of the pen.

Its facts must be able to hold together: the same question cannot have two outcomes, a question is asked only where its
`suits`, `after` and tools allow, a conclusion must be made by a rule that can itself fire, and `unless` must leave
something. All of this is searched through for every technology.

Likely mend: the message names the facts that clash; take one out, or widen the `suits` of the question.

Fails:

    rules:
      pink-light:
        when: {light-source: halogen, tube-look: pink}
        proves: tube-worn
        because: It is pink.
        source: common-practice

Passes:

    rules:
      pink-light:
        when: {light-source: discharge, tube-look: pink}
        proves: tube-worn
        because: It is pink.
        source: common-practice
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator

from engine._experta import Leaf
from engine.audit.survey import ERROR, Survey, conditions_text
from engine.problems import Problem
from engine.references import LIGHT

CODE = "never-fires"
RAW = False
MOST = 3  # facts named together as the reason


def check(survey: Survey) -> Iterator[Problem]:
    """Rules that cannot fire in any technology."""
    fires = {rule.id for rules in survey.live.values() for rule in rules}
    for name, rule in survey.base.rules.items():
        if name in fires:
            continue
        if rule.over and not any(technology.paths for technology in survey.base.technologies.values()):
            message = f'"{name}" can never fire: no technology has `paths:`'
            yield Problem(survey.base.place("rules", name), ERROR, CODE, message)
            continue
        path, why = _reason(survey, name)
        yield Problem(survey.key("rules", name, *path), ERROR, CODE, f'"{name}" can never fire: {why}')


def _reason(survey: Survey, name: str) -> tuple[tuple[str, ...], str]:
    rule = survey.base.rules[name]
    leaves = [Leaf(fact, frozenset(values)) for fact, values in rule.when.items() if not rule.over or fact != LIGHT]
    for size in range(1, MOST + 1):
        for some in itertools.combinations(leaves, size):
            if not any(world.holds(some) for world in survey.worlds.values()):
                shown = conditions_text({leaf.name: sorted(leaf.values) for leaf in some})
                return ("when", some[-1].name), f"{_said(survey, some)} ({shown})"
    if rule.unless and any(world.holds(leaves) for world in survey.worlds.values()):
        return ("unless",), "`unless` takes away every case in which its facts hold"
    return ("when",), "its facts cannot hold together"


def _said(survey: Survey, leaves: Iterable[Leaf]) -> str:
    found = list(leaves)
    if len(found) > 1:
        return "these facts cannot hold together"
    if found[0].name in survey.base.questions:
        return "no technology lets this question come up"
    return "no rule that can fire concludes this"
