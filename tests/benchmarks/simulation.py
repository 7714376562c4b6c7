"""Simulated jobs: a fault is drawn, answers are drawn from the expectations, and the session asks until it ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from engine.base import Base
from engine.belief import slip_of
from engine.costs import repair_cost
from engine.events import Acknowledged, Answered, Rechecked, apply
from engine.expectations import expectations, usual
from engine.grounding import ground
from engine.session import Ask, End, Fill, Session, Warn
from engine.verdict import Action

MAX_STEPS = 80


@dataclass(frozen=True)
class Job:
    """How one simulated job went. Costs in u; `cost` is tests, then repairs in order until cured or handed on."""

    technology: str
    complaint: str
    fault: str
    verdict: str
    named: tuple[str, ...]
    share: float
    right: bool
    questions: int
    cost: float
    perfect: float
    sound_parts: int


class Car:
    """A car with a hidden fault that answers as the expectations say, and slips now and then."""

    def __init__(
        self, base: Base, technology: str, complaint: str, fault: str, rng: np.random.Generator, wrong: float
    ) -> None:
        self.base, self.rng, self.wrong, self.fault = base, rng, wrong, fault
        self.circuit = ground(base, technology)
        self.fixed = {base.roles.technology: technology, base.roles.complaint: complaint}
        self.said: dict[str, str] = {}
        forms = [base.forms[name] for name in base.roles.opening if name in base.forms]
        self.struck = {item for form in forms for item in form.items}

    def answer(self, session: Session, question: str) -> str:
        """The outcome the car shows; the same when asked again."""
        if question not in self.said:
            self.said[question] = self._draw(session.circumstances, question)
        return self.said[question]

    def _draw(self, circumstances: Mapping[str, str], question: str) -> str:
        if question in self.fixed:
            return self.fixed[question]
        outcomes = list(self.base.questions[question].outcomes)
        table = expectations(self.circuit)
        if question in self.base.roles.showing:
            hiding = self.base.roles.showing[question]
            return next(outcome for outcome in outcomes if outcome not in hiding)
        shares = usual(self.base, question)
        if question in table.speaking:
            column = table.table(question, circumstances)[:, table.columns[self.fault]]
            if any(
                question in self.base.forms[name].items for name in self.base.roles.opening if name in self.base.forms
            ):
                return outcomes[int(column.argmax())]  # the forms ask for what strikes the eye
            if self.rng.random() >= self.wrong:
                shares = column
        elif question in self.base.circumstances:
            for row, outcome in enumerate(outcomes):  # a vehicle on which this fault can show this complaint
                shares[row] *= table.weights({**circumstances, question: outcome})[table.columns[self.fault]]
            if shares.sum() == 0:
                shares = usual(self.base, question)
        else:
            return outcomes[int(shares.argmax())]
        return str(self.rng.choice(outcomes, p=shares / shares.sum()))


def play(
    base: Base, technology: str, complaint: str, fault: str, rng: np.random.Generator, wrong: float | None = None
) -> Job:
    """One job to its end. `wrong`: how often an answer is drawn blindly; None: as often as each question slips."""
    car = Car(base, technology, complaint, fault, rng, 0.0)
    session, asked = Session(base), 0
    for _ in range(MAX_STEPS):
        step = session.step
        if isinstance(step, End):
            break
        if isinstance(step, Warn):
            session = apply(session, Acknowledged(step.cautions))
        elif isinstance(step, Fill):
            for item in step.items:
                session = _answer(session, car, item, wrong)
        else:
            opening = step.question in base.roles.opening
            asked += not opening
            session = _again(session, step)
            session = _answer(session, car, step.question, wrong)
    return _close(session, technology, complaint, fault, asked)


def _again(session: Session, step: Ask) -> Session:
    return apply(session, Rechecked(step.question)) if step.again else session


def _answer(session: Session, car: Car, question: str, wrong: float | None) -> Session:
    car.wrong = slip_of(car.base, question) if wrong is None else wrong
    return apply(session, Answered(question, car.answer(session, question)))


def _close(session: Session, technology: str, complaint: str, fault: str, asked: int) -> Job:
    from engine.explanation import spend

    base, verdict = session.base, session.verdict
    cure = base.faults[fault].repair
    tests = spend(session).money
    repairs, bought = _repairs(session, verdict.actions, cure)
    right = any(base.faults[named].repair == cure or named in base.faults[fault].both for named in verdict.faults)
    perfect = repair_cost(base, session.prices, cure, frozenset())
    return Job(
        technology,
        complaint,
        fault,
        verdict.kind,
        verdict.faults,
        verdict.share,
        right,
        asked,
        tests + repairs,
        perfect,
        bought,
    )


def _repairs(session: Session, actions: tuple[Action, ...], cure: tuple[str, ...]) -> tuple[float, int]:
    """What repairing in order costs until the cure is met or the rest is handed on, and the sound parts bought."""
    base, total, bought = session.base, 0.0, 0
    referral = session.prices.setting(base, "referral-price")
    left = 1.0
    for action in actions:
        if left * referral < action.cost * max(0.0, left - action.share) or action.share < 0.01:
            break
        total += action.cost
        if action.repairs == cure:
            return total, bought
        bought += sum(base.repairs[name].part is not None for name in action.repairs)
        left -= action.share
    return total + referral + repair_cost(base, session.prices, cure, session.opened), bought


def draw(base: Base, rng: np.random.Generator, technology: str | None = None) -> tuple[str, str, str]:
    """A technology, a complaint and a fault, drawn as often as the tables say."""
    known = [technology] if technology else sorted(base.technologies)
    chosen = str(rng.choice(known))
    table = base.technologies[chosen].frequencies
    complaints = sorted({complaint for row in table.values() for complaint in row if complaint != "any"})
    complaint = str(rng.choice(complaints))
    circuit = ground(base, chosen)
    prior = np.array(circuit.prior(complaint))
    return chosen, complaint, str(rng.choice(circuit.faults, p=prior / prior.sum()))
