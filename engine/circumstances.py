"""Circumstances worth asking: they are no evidence, but they let rules speak that have all else they need."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, partial
from typing import TYPE_CHECKING

from engine.costs import question_cost
from engine.expectations import usual
from engine.planning import FAINT, MARGIN, Choice, Plan, Planner

if TYPE_CHECKING:
    from engine.session import Session

SCREENED = 2  # how many circumstances are looked at, two questions deep
WAITING = 0.25  # how likely it must be that a circumstance turns out not to matter for it to wait


def worth_asking(session: Session, planner: Planner, plan: Plan) -> Iterator[Choice]:
    """The circumstances whose cost is repaid by what the rules they let speak are expected to save.

    None where somebody else has to mend the lamp: how it is wired is then theirs to find out.
    """
    if session.covered:
        return
    ahead, further = cache(partial(_one_ahead, planner)), cache(partial(_two_ahead, planner))
    gains = {name: _gain(session, name, ahead) for name in _waiting(session)}
    for name in sorted(gains, key=lambda name: (-gains[name], name)):
        cost = question_cost(session.base, session.rates, name, session.opened)
        if gains[name] <= cost or _can_wait(session, name, cost, planner, plan):
            continue
        gain = _gain(session, name, further)
        if gain > cost + MARGIN:
            yield Choice(name, cost, plan.value + cost - gain)


def _waiting(session: Session) -> list[str]:
    """The few circumstances most worth knowing, by the share of the faults of which a rule waits to tell.

    A rule waits when all its other facts are there. It tells most where it speaks of half of what is likely; a
    conclusion that other rules look for counts as much.
    """
    base, circuit = session.base, session.circuit
    facts, known = session.reasoning.facts, base.circumstances
    standing = {fault: share for fault, share in session.belief.ranking() if share >= FAINT}
    weights: dict[str, float] = {}
    for rule in circuit.rules:
        open_leaves = [leaf for leaf in rule.when if not any((leaf.name, value) in facts for value in leaf.values)]
        if not all(leaf.name in known and leaf.name not in session.told for leaf in open_leaves):
            continue
        told_of = {fault for effect in rule.effects for fault in effect.faults}
        weight = sum(share for fault, share in standing.items() if fault in told_of)
        if any(name in circuit.looked_for for name, _ in rule.concludes):
            weight = max(weight, 0.5)
        if weight:
            for leaf in (*open_leaves, *rule.unless):
                weights[leaf.name] = weights.get(leaf.name, 0.0) + min(weight, 1 - weight)
    askable = [name for name in weights if name not in base.about_tools and session.open_to(name)]
    return sorted(askable, key=lambda name: (-weights[name], name))[:SCREENED]  # tools are asked for with a test


def _can_wait(session: Session, circumstance: str, cost: float, planner: Planner, plan: Plan) -> bool:
    """Whether the best question may well settle what the circumstance would have helped to settle."""
    if plan.best is None:
        return False
    best = next(candidate for candidate in session.candidates if candidate.question == plan.best.question)
    shares = map(float, best.likelihood @ session.belief.shares)
    outcomes = zip(shares, session.base.questions[best.question].outcomes, strict=True)
    idle, left = 0.0, 1.0
    for share, outcome in sorted(outcomes, reverse=True):
        if _gain(session.supposing(best.question, outcome), circumstance, partial(_at_once, planner)) <= cost:
            idle += share
        left -= share
        if idle > WAITING or idle + left <= WAITING:  # what the rarer answers would do changes nothing
            break
    return idle > WAITING


def _gain(session: Session, circumstance: str, value: Callable[[Session], float]) -> float:
    """What knowing a circumstance is expected to save."""
    outcomes = session.base.questions[circumstance].outcomes
    saved = value(session)
    for outcome, share in zip(outcomes, usual(session.base, circumstance), strict=True):
        saved -= float(share) * value(session.supposing(circumstance, outcome))
    return saved


def _at_once(planner: Planner, session: Session) -> float:
    return float(planner.expected_cost(session.belief.shares[None, :], session.opened)[0])


def _one_ahead(planner: Planner, session: Session) -> float:
    return planner.value(session.belief.shares, session.candidates, session.opened)


def _two_ahead(planner: Planner, session: Session) -> float:
    return planner.plan(session.belief.shares, session.candidates, session.opened, width=4).value
