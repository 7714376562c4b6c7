"""Conclusions must not lead back to themselves, nor one state of access to itself.

A fact that follows from itself makes every explanation go round in circles. A state of access that lies within itself
can never be reached.

Likely mend: break the ring at the rule in the message; conclude a fact of another name.

Fails:

    rules:
      supply-seen:
        when: {supply: weak}
        concludes: {feed: poor}
        because: It follows.
        source: common-practice
      feed-seen:
        when: {feed: poor}
        concludes: {supply: weak}
        because: It follows.
        source: common-practice

Passes:

    rules:
      weak-supply:
        when: {supply: weak}
        concludes: {feed: poor}
        because: It follows.
        source: common-practice
      feed-seen:
        when: {feed: poor}
        proves: battery-weak
        because: It follows.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.audit.survey import ERROR, Survey
from engine.problems import Problem

CODE = "loops"
RAW = True


def check(survey: Survey) -> Iterator[Problem]:
    """Rings of rules, and rings of access."""
    makers: dict[tuple[str, str], list[str]] = {}
    for name, rule in survey.base.rules.items():
        for fact in rule.concludes.items():
            makers.setdefault(fact, []).append(name)
    needs = {
        name: [
            maker for fact, values in rule.when.items() for value in values for maker in makers.get((fact, value), ())
        ]
        for name, rule in survey.base.rules.items()
    }
    for ring in rings(needs):
        message = f"these conclusions lead back to themselves: {' <- '.join([*ring, ring[0]])}; break the ring"
        yield Problem(survey.key("rules", ring[0], "concludes"), ERROR, CODE, message)
    within = {name: [state.within] if state.within else [] for name, state in survey.base.access.items()}
    for ring in rings(within):
        message = f"these states of access lie within each other: {', '.join(ring)}; one must be reached first"
        yield Problem(survey.at("access", ring[0], "within"), ERROR, CODE, message)


def rings(arrows: Mapping[str, list[str]]) -> Iterator[list[str]]:
    """One ring for each knot of names that lead to each other, without recursion."""
    done: set[str] = set()
    for start in arrows:
        trail: list[str] = []
        branches = [iter([start])]
        while branches:
            name = next(branches[-1], None)
            if name is None:
                branches.pop()
                if trail:
                    done.add(trail.pop())
            elif name in trail:
                yield trail[trail.index(name) :]
            elif name not in done:
                trail.append(name)
                branches.append(iter(arrows.get(name, ())))
