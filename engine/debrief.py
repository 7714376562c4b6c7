"""What a rehearsal comes to: spent beside what the planner and the best would have spent, and the step worth least."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from engine.average import candidates_of
from engine.base import Base
from engine.belief import finding
from engine.costs import Prices, access_minutes, open_up, question_cost, question_minutes, repair_cost
from engine.expectations import Array, expectations
from engine.planning import Candidate, Planner, settle
from engine.rehearsal import Car
from engine.session import Ask, Fill, Session, Warn
from engine.verdict import Verdict

MOST_STEPS = 120


@dataclass(frozen=True)
class Spent:
    """A way to the cure: questions, repairs in the order done, and what both cost. `handed_on`: not cured by it."""

    questions: tuple[str, ...]
    repairs: tuple[tuple[str, ...], ...]
    minutes: float
    money: float
    handed_on: bool = False


@dataclass(frozen=True)
class Step:
    """A question that was asked: what it cost, what it was expected to save, and the best that could be asked then.

    `worth` and `best_worth` are money saved less the cost; below zero it cost more than it could save. `moved` is how
    far the odds could be expected to move, 0 to 1.
    """

    question: str
    money: float
    worth: float
    moved: float
    best: str | None
    best_worth: float
    heard: bool


@dataclass(frozen=True)
class Debrief:
    """A rehearsal looked back on. `best` is None when no few questions settle it."""

    cured: bool
    own: Spent
    planner: Spent
    best: Spent | None
    least: Step | None
    in_vain: tuple[str, ...]


def cures(base: Base, fault: str, done: Iterable[Iterable[str]]) -> bool:
    """Whether the repairs done put a fault right."""
    return set(base.faults[fault].repair) <= {name for repairs in done for name in repairs}


def spent(car: Car, questions: Sequence[str], repairs: Sequence[tuple[str, ...]], handed_on: bool = False) -> Spent:
    """What questions and then repairs cost on a car, each state of access opened once. Money holds the minutes too."""
    base, prices = car.base, Prices()
    opened = settle(base, car.opening.told)
    minutes = money = 0.0
    for name in questions:
        minutes += question_minutes(base, prices, name, opened)
        money += question_cost(base, prices, name, opened)
        opened = open_up(base, base.questions[name].access, opened)
    for done in repairs:
        money += repair_cost(base, prices, done, opened)
        for name in done:
            minutes += base.repairs[name].minutes + access_minutes(base, prices, base.repairs[name].access, opened)
            opened = open_up(base, base.repairs[name].access, opened)
    if handed_on:
        money += prices.setting(base, "referral-price") + repair_cost(
            base, prices, base.faults[car.fault].repair, opened
        )
    return Spent(tuple(questions), tuple(repairs), minutes, money, handed_on)


def debrief(car: Car, asked: Sequence[str], repairs: Sequence[tuple[str, ...]]) -> Debrief:
    """Looks back on the questions asked, in order, and the repairs done."""
    cured = cures(car.base, car.fault, repairs)
    needed = set(car.base.faults[car.fault].repair)
    vain = tuple(dict.fromkeys(name for done in repairs for name in done if name not in needed))
    own = spent(car, asked, repairs, handed_on=not cured)
    return Debrief(cured, own, by_planner(car), best(car), least(car, asked), vain)


def by_planner(car: Car) -> Spent:
    """What the program itself would have asked and done on this car."""
    session, asked = car.opening, []
    for _ in range(MOST_STEPS):
        step = session.step
        if isinstance(step, Ask):
            if step.again:
                session = session.recheck(step.question)
            elif step.question not in asked:
                asked.append(step.question)
            session = session.answer(step.question, car.answer(session, step.question))
        elif isinstance(step, Fill):
            for item in step.items:
                asked.append(item)
                session = session.answer(item, car.answer(session, item))
        elif isinstance(step, Warn):
            session = session.acknowledge(step.cautions)
        else:
            break
    done, handed_on = _acting(car, session.verdict)
    return spent(car, asked, done, handed_on)


def _acting(car: Car, verdict: Verdict) -> tuple[list[tuple[str, ...]], bool]:
    """The repairs tried in the order of the verdict until one cures, or until it is cheaper to hand the job on."""
    done: list[tuple[str, ...]] = []
    for action in verdict.actions[: verdict.tries]:
        done.append(action.repairs)
        if cures(car.base, car.fault, done):
            return done, False
    return done, True


def best(car: Car) -> Spent | None:
    """The cheapest questions, three at most, whose answers on this car make its fault likely, and then its repair.

    Exact: every set is looked at. Nobody could choose them without knowing the fault; it is the mark no one can beat.
    """
    base, session = car.base, car.opening
    fees, rows, names = _evidence(car)
    columns = [index for index, one in enumerate(session.circuit.faults) if _same(base, one, car.fault)]
    wanted = session.prices.setting(base, "likely-share")
    start = np.log(np.maximum(session.belief.shares, 1e-300))
    found: list[tuple[float, tuple[int, ...]]] = []
    for chosen in _settling(start, rows, fees, columns, wanted):
        asked = [names[index] for index in chosen]
        found.append((spent(car, asked, [base.faults[car.fault].repair]).money, chosen))
    for _, chosen in sorted(found):
        asked = [names[index] for index in chosen]
        then = session
        for name in asked:
            then = then.answer(name, car.answer(then, name))
        if sum(float(then.belief.shares[column]) for column in columns) >= wanted:
            return spent(car, asked, [base.faults[car.fault].repair])
    return None


def _same(base: Base, one: str, other: str) -> bool:
    return base.faults[one].repair == base.faults[other].repair


def _evidence(car: Car) -> tuple[Array, Array, list[str]]:
    """For each question that could be asked: its fee from the start, and log P(answer of this car | fault)."""
    session = car.opening
    table, facts = expectations(session.circuit), frozenset(session.told.items())
    names = [name for name in car.base.questions if name in table.speaking and session.open_to(name)]
    rows, fees = [], []
    for name in names:
        slip = finding(car.base, name, "", facts).slip
        outcome = list(car.base.questions[name].outcomes).index(car.answers[name])
        rows.append(np.log(table.likelihood(name, session.circumstances, slip)[outcome]))
        fees.append(question_cost(car.base, session.prices, name, session.opened))
    return np.array(fees), np.array(rows), names


def _settling(start: Array, rows: Array, fees: Array, columns: list[int], wanted: float) -> list[tuple[int, ...]]:
    """Sets of up to three rows that bring the columns together to the share wanted; dear ones are left out."""
    count = len(rows)
    dearest = np.inf
    found: list[tuple[int, ...]] = []
    for chosen in ((), *((one,) for one in range(count)), *((a, b) for a in range(count) for b in range(a + 1, count))):
        known = start + rows[list(chosen)].sum(axis=0)
        fee = float(fees[list(chosen)].max(initial=0.0))
        if len(chosen) < 2 and _share(known[None, :], columns)[0] >= wanted:
            found.append(chosen)
            dearest = min(dearest, float(fees[list(chosen)].sum()))
        elif len(chosen) == 2 and fee < dearest:
            if _share(known[None, :], columns)[0] >= wanted:
                found.append(chosen)
                dearest = min(dearest, float(fees[list(chosen)].sum()))
            more = np.arange(chosen[1] + 1, count)
            more = more[fees[more] < dearest]
            for index in more[_share(known[None, :] + rows[more], columns) >= wanted] if len(more) else ():
                found.append((*chosen, int(index)))
                dearest = min(dearest, float(fees[list(chosen)].sum() + fees[index]))
    return found


def _share(logs: Array, columns: list[int]) -> Array:
    shares = np.exp(logs - logs.max(axis=1, keepdims=True))
    result: Array = shares[:, columns].sum(axis=1) / shares.sum(axis=1)
    return result


def least(car: Car, asked: Sequence[str]) -> Step | None:
    """The question that fell furthest short of the best that could be asked at the time."""
    session, steps = car.opening, []
    for name in asked:
        steps.append(_step(session, name))
        session = session.answer(name, car.answer(session, name))
    behind = [step for step in steps if step.best_worth - step.worth > 0.05]
    return max(behind, key=lambda step: step.best_worth - step.worth, default=None)


def _step(session: Session, question: str) -> Step:
    base, prices, opened = session.base, session.prices, session.opened
    plan = session.plan
    cost = question_cost(base, prices, question, opened)
    first = plan.best
    if first is not None and first.question == question:
        gain = plan.act_now - first.value
        return Step(question, cost, gain, 1.0, None, gain, True)
    best_worth = plan.act_now - first.value if first else 0.0
    name = first.question if first else None
    table = expectations(session.circuit)
    if question not in table.speaking:
        heard = question in base.circumstances and any(
            leaf.name == question for rule in session.circuit.rules for leaf in (*rule.when, *rule.unless)
        )
        chosen = next((one.value for one in plan.choices if one.question == question), plan.act_now + cost)
        return Step(question, cost, plan.act_now - chosen, 0.0, name, best_worth, heard)
    candidates = candidates_of(session)
    rows = next((one.likelihood for one in candidates if one.question == question), None)
    if rows is None:
        return Step(question, cost, -cost, 0.0, name, best_worth, True)
    worth = _worth(session, Candidate(question, rows), candidates, cost)
    return Step(question, cost, worth, _moved(rows, session.belief.shares), name, best_worth, True)


def _worth(session: Session, candidate: Candidate, candidates: Sequence[Candidate], cost: float) -> float:
    """What asking, then the best question after it, is expected to save against acting now, less its cost."""
    planner = Planner(session.base, session.prices, session.circuit.faults, session.mending.repaired, session.covered)
    shares, opened = session.belief.shares, session.opened
    plan = planner.plan(shares, candidates, opened, width=len(candidates))
    for choice in plan.choices:
        if choice.question == candidate.question:
            return plan.act_now - choice.value
    then = open_up(session.base, session.base.questions[candidate.question].access, opened)
    after = planner.expected_cost(candidate.likelihood * shares, then).sum()
    return min(0.0, float(plan.act_now - cost - after))


def _moved(rows: Array, shares: Array) -> float:
    """How far an answer is expected to move the odds: half the sum of the differences, on average."""
    joint = rows * shares
    totals = joint.sum(axis=1, keepdims=True)
    return float(np.abs(joint - totals * shares).sum() / 2)
