"""What a job has cost from its start, what is ahead, and what replacing parts in order would have cost instead."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.costs import Opened, open_up, question_cost, question_minutes, repair_cost
from engine.mending import Mending
from engine.session import Answer, Session


@dataclass(frozen=True)
class Spend:
    """Minutes and money of tests so far, money of repairs done, and money expected ahead.

    `blind` is what replacing parts in order was expected to cost at the start. `in_order` is what it would have cost
    on this car, known once the lamp works, and None before; `handed_on` says that the order would not have come to the
    repairs that were needed before it was cheaper to hand the job on, which is then counted. `in_vain` is the part of
    `repairs` that was not needed, as far as can be told.
    """

    minutes: float
    money: float
    ahead: float
    blind: float
    repairs: float = 0.0
    in_order: float | None = None
    in_vain: float = 0.0
    handed_on: bool = False

    @property
    def saved(self) -> float | None:
        """What the tests saved, by the repairs that turned out to be needed; less than nothing when they cost more."""
        return None if self.in_order is None else self.in_order - self.money - self.repairs


def given(session: Session) -> Iterator[tuple[str, Answer]]:
    """Every answer of the job in turn, also those that were dropped or given behind a repair."""
    for one in session.mending.tried:
        yield from one.dropped.items()
    fresh = {name: answer for one in session.mending.tried for name, answer in one.again.items()}
    yield from ((name, answer) for name, answer in session.answers.items() if fresh.get(name) != answer)
    for one in session.mending.tried:
        yield from one.again.items()
    if session.mending.hand is not None:
        yield from session.mending.hand.again.items()


def beginning(session: Session) -> Session:
    """The job before any test or repair: what was first said of vehicle and complaint, at the prices of now."""
    first: dict[str, Answer] = {}
    for name, answer in given(session):
        if name in session.base.circumstances:
            first.setdefault(name, answer)
    return Session(session.base, answers=first, prices=session.prices)


def spend(session: Session) -> Spend:
    """What the job has cost so far, what the rest is expected to cost, and what no tests would have cost."""
    opened: Opened = frozenset()
    base, prices = session.base, session.prices
    minutes = money = 0.0
    for name, answer in given(session):
        if answer.outcome is None:
            continue
        minutes += question_minutes(base, prices, name, opened)
        money += question_cost(base, prices, name, opened)
        opened = open_up(base, base.questions[name].access, opened)
    needed = _needed(session.mending)
    repairs = in_vain = 0.0
    for done in _done(session.mending):
        cost = repair_cost(base, prices, done, opened)
        repairs += cost
        in_vain += 0 if needed.issuperset(done) else cost
        for name in done:
            opened = open_up(base, base.repairs[name].access, opened)
    start = beginning(session)
    blind = start.plan.act_now
    if session.mending.cured:
        cost, handed_on = _in_order(session, start, needed)
        return Spend(minutes, money, 0.0, blind, repairs, cost, in_vain, handed_on)
    best = session.plan.best
    ahead = min(session.plan.act_now, best.value) if best else session.plan.act_now
    return Spend(minutes, money, ahead, blind, repairs)


def _done(mending: Mending) -> Iterator[tuple[str, ...]]:
    """The repairs of each attempt, the one that cured last."""
    yield from mending.attempts
    if mending.cured and mending.hand is not None:
        yield mending.hand.repairs


def _needed(mending: Mending) -> frozenset[str]:
    """The repairs that the lamp needed: what cured, what made it behave in another way, and what had been proved."""
    real = [one.repairs for one in mending.tried if one.result == "changed" or one.verdict.certainty == "proved"]
    cured = mending.hand.repairs if mending.hand else ()
    return frozenset(name for repairs in (*real, cured) for name in repairs)


def _in_order(session: Session, start: Session, wanted: frozenset[str]) -> tuple[float, bool]:
    """What repairs in order of chance over cost would have cost until all needed were done, or the job handed on.

    And whether it was handed on.
    """
    base, prices = session.base, session.prices
    needed = set(wanted)
    total, opened = 0.0, start.opened
    for action in start.verdict.actions[: start.verdict.tries]:
        total += repair_cost(base, prices, action.repairs, opened)
        for name in action.repairs:
            opened = open_up(base, base.repairs[name].access, opened)
        needed.difference_update(action.repairs)
        if not needed:
            return total, False
    return total + prices.setting(base, "referral-price"), True
