"""Some answers must be able to show a fault, and some to clear it.

For each fault the best that all answers together can do is added up: every question with the outcome that speaks most
for it, slips allowed for, from the complaint under which it is commonest. When even that does not make it likely (the
setting `likely-share`), the fault can never be named. In the same way, when the outcomes that speak most against it
leave more than a third of its first odds, it can never be ruled out. Both are upper bounds, so what is reported is
certain; a fault that passes may still be hard to show.

Likely mend: add a question about it, a rule that raises or proves it, or one that excludes it when all is well.

Fails:

    rules:
      whole-fuse:
        when: {fuse-look: whole}
        advises: water-in-plug
        because: It can be seen.
        source: common-practice
      open-fuse:
        when: {fuse-look: open}
        advises: water-in-plug
        because: It can be seen.
        source: common-practice

Passes:

    rules:
      whole-fuse:
        when: {fuse-look: whole}
        excludes: fuse-open
        because: It can be seen.
        source: common-practice
      open-fuse:
        when: {fuse-look: open}
        proves: fuse-open
        because: It can be seen.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from engine.audit.survey import WARNING, Survey, listed
from engine.belief import slip_of
from engine.expectations import Array, expectations, ratio, usual
from engine.problems import Problem

CODE = "out-of-reach"
RAW = False
CLEARED = 1 / 3  # of its first odds; judgement, no source


def check(survey: Survey) -> Iterator[Problem]:
    """Faults that no answers can show, or none can clear, with the technologies in which that is so."""
    shown: dict[str, list[str]] = {}
    cleared: dict[str, list[str]] = {}
    for technology, circuit in survey.circuits.items():
        best, worst = _reach(survey, technology)
        prior = np.max([circuit.prior(complaint) for complaint in _complaints(survey)], axis=0)
        most = prior * best / (prior * best + 1 - prior)
        for index, fault in enumerate(circuit.faults):
            if most[index] < survey.base.setting("likely-share"):
                shown.setdefault(fault, []).append(technology)
            if worst[index] > CLEARED:
                cleared.setdefault(fault, []).append(technology)
    for fault, where in shown.items():
        message = f'no answers can make "{fault}" likely, in {listed(where)}; nothing speaks clearly for it'
        yield Problem(survey.base.place("faults", fault), WARNING, CODE, message)
    for fault, where in cleared.items():
        message = f'no answers can rule "{fault}" out, in {listed(where)}; nothing speaks clearly against it'
        yield Problem(survey.base.place("faults", fault), WARNING, CODE, message)


def _complaints(survey: Survey) -> list[str]:
    return list(survey.base.questions[survey.base.roles.complaint].outcomes)


def _reach(survey: Survey, technology: str) -> tuple[Array, Array]:
    """For each fault the largest and the smallest factor that all answers together can put on its odds."""
    circuit = survey.circuits[technology]
    best: dict[str, Array] = {}
    worst: dict[str, Array] = {}
    for question, _, joint in survey.tables[technology]:
        slip, seen = slip_of(survey.base, question), usual(survey.base, question)[:, None]
        totals = joint.sum(axis=0)
        expected = np.where(totals > 0, joint / np.where(totals > 0, totals, 1), seen)
        factors = ((1 - slip) * expected + slip * seen) / seen
        best[question] = np.maximum(best.get(question, factors.max(axis=0)), factors.max(axis=0))
        worst[question] = np.minimum(worst.get(question, factors.min(axis=0)), factors.min(axis=0))
    up, down = np.ones(len(circuit.faults) + 1), np.ones(len(circuit.faults) + 1)
    for factors in best.values():
        up *= factors
    for factors in worst.values():
        down *= factors
    _joint(survey, technology, up, down)
    return up[:-1], down[:-1]


def _joint(survey: Survey, technology: str, up: Array, down: Array) -> None:
    """What rules that need two findings, or circumstances alone, can add."""
    alone = {id(rule) for sight in survey.sights[technology] for rule in sight.rules}
    columns = expectations(survey.circuits[technology]).columns
    for rule in survey.live[technology]:
        for effect in rule.effects if id(rule) not in alone else ():
            factor = ratio(survey.base, effect)
            for fault in effect.faults:
                if factor > 1:
                    up[columns[fault]] *= factor
                else:
                    down[columns[fault]] *= max(factor, 0.02)
