"""Simulated jobs: a fault is drawn, answers are drawn from the expectations, and questions are asked to the end."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from zlib import crc32

import numpy as np

from engine.base import Base
from engine.belief import slip_of
from engine.costs import Opened, open_up, question_cost, repair_cost
from engine.events import Acknowledged, Answered, Rechecked, apply
from engine.expectations import expectations, usual
from engine.grounding import ground
from engine.session import Ask, Fill, Session, Step, Warn
from engine.verdict import Action
from tests.benchmarks import policies
from tests.benchmarks.slices import Slice

MAX_STEPS = 80

Way = Callable[[Session], str | None]  # the question to ask once the opening is done, or None to act


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
    """A car with a hidden fault that answers as the expectations say, and slips now and then.

    What it answers to a question depends on its number and the question alone, so that ways of asking can be compared
    on the same cars. `wrong` is how often, beside the slips of each question, an answer is another than it should be.
    """

    def __init__(
        self, base: Base, technology: str, complaint: str, fault: str, number: tuple[int, int], wrong: float
    ) -> None:
        self.base, self.number, self.wrong, self.fault = base, number, wrong, fault
        self.circuit = ground(base, technology)
        self.fixed = {base.roles.technology: technology, base.roles.complaint: complaint, **base.alone}
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
        rng = np.random.default_rng([*self.number, crc32(question.encode())])
        shares, common = self._shares(circumstances, question), usual(self.base, question)
        if question in self.base.circumstances or question in self.struck:
            return outcomes[int(rng.choice(len(outcomes), p=shares))]
        if rng.random() < slip_of(self.base, question):
            shares = common
        said = int(rng.choice(len(outcomes), p=shares))
        if rng.random() < self.wrong:
            others = np.where(np.arange(len(outcomes)) == said, 0.0, common)
            said = int(rng.choice(len(outcomes), p=others / others.sum()))
        return outcomes[said]

    def _shares(self, circumstances: Mapping[str, str], question: str) -> np.ndarray:
        """How likely each outcome is on this car; one of them for certain where it strikes the eye or is not drawn."""
        base, table, shares = self.base, expectations(self.circuit), usual(self.base, question)
        outcomes = list(base.questions[question].outcomes)
        if question in base.roles.showing:
            return _only(outcomes, next(one for one in outcomes if one not in base.roles.showing[question]))
        if question in table.speaking:
            column = table.table(question, circumstances)[:, table.columns[self.fault]]
            return _only(outcomes, outcomes[int(column.argmax())]) if question in self.struck else column
        if question not in base.circumstances:
            return _only(outcomes, outcomes[int(shares.argmax())])
        fitting = np.array(  # a vehicle on which this fault can show this complaint
            [table.weights({**circumstances, question: outcome})[table.columns[self.fault]] for outcome in outcomes]
        )
        return shares * fitting / (shares * fitting).sum() if (shares * fitting).sum() else shares


def _only(outcomes: list[str], one: str) -> np.ndarray:
    return np.array([float(outcome == one) for outcome in outcomes])


def play(session: Session, car: Car, way: Way | None = None) -> Session:
    """A job asked to its end, by the session itself or by another way of asking after the same opening."""
    opening = True
    for _ in range(MAX_STEPS):
        step = session.step if way is None or opening else None
        opening = opening and (isinstance(step, Fill) or _opens(session, step))
        if way is not None and not opening:
            question = way(session)
            if question is None:
                return session
            session = _said(session, car, question)
        elif isinstance(step, Fill):
            for item in step.items:
                session = _said(session, car, item)
        elif isinstance(step, Warn):
            session = apply(session, Acknowledged(step.cautions))
        elif isinstance(step, Ask):
            session = apply(session, Rechecked(step.question)) if step.again else session
            session = _said(session, car, step.question)
        else:
            return session
    return session


def _opens(session: Session, step: Step | None) -> bool:
    return isinstance(step, Ask) and step.question in session.base.roles.opening


def _said(session: Session, car: Car, question: str) -> Session:
    return apply(session, Answered(question, car.answer(session, question)))


def by(choose: policies.Choose) -> Way:
    """A way of asking made for slices, on a whole base: over all faults and every question that may be asked."""
    return partial(_ask, choose)


def _ask(choose: policies.Choose, session: Session) -> str | None:
    base, opened = session.base, session.opened
    if session.verdict.settled:
        return None
    left = session.candidates  # what the session itself chooses from
    whole = Slice("", base, session.circuit.faults, session.belief.shares, tuple(left))
    best = choose(whole, session.belief.shares, left, opened)
    return best.question if best else None


def close(session: Session, car: Car) -> Job:
    """What the job came to, once repairs have been done in the order of the verdict."""
    base, verdict, fault = session.base, session.verdict, car.fault
    cure = base.faults[fault].repair
    repairs, bought = _repaired(session, _worth_trying(session, verdict.actions), cure)
    asked = sum(name not in base.roles.opening and name not in car.struck for name in session.answers)
    return Job(
        technology=car.fixed[base.roles.technology],
        complaint=car.fixed[base.roles.complaint],
        fault=fault,
        verdict=verdict.kind,
        named=verdict.faults,
        share=verdict.share,
        right=any(base.faults[one].repair == cure or one in base.faults[fault].both for one in verdict.faults),
        questions=asked,
        cost=_asking(session) + repairs,
        perfect=repair_cost(base, session.prices, cure, frozenset()),
        sound_parts=bought,
    )


def _asking(session: Session) -> float:
    """What the questions have cost, access included."""
    opened: Opened = frozenset()
    total = 0.0
    for name, answer in session.answers.items():
        if answer.outcome is not None:
            total += question_cost(session.base, session.prices, name, opened)
            opened = open_up(session.base, session.base.questions[name].access, opened)
    return total


def unasked(session: Session, car: Car) -> Job:
    """What the job would have come to by replacing parts in order until one cures, nothing asked but the opening."""
    base, cure = session.base, session.base.faults[car.fault].repair
    opening = {name: one for name, one in session.answers.items() if name in base.roles.opening[:3]}
    start = Session(base, answers=opening, prices=session.prices)
    repairs, bought = _repaired(start, iter(start.verdict.actions), cure)
    known = repair_cost(base, session.prices, cure, frozenset())
    fixed = car.fixed[base.roles.technology], car.fixed[base.roles.complaint]
    return Job(*fixed, car.fault, "open", (), 0.0, True, 0, repairs, known, bought)


def _worth_trying(session: Session, actions: tuple[Action, ...]) -> Iterator[Action]:
    """The repairs worth trying before the rest is handed on."""
    referral, left = session.prices.setting(session.base, "referral-price"), 1.0
    for action in actions:
        if left * referral < action.cost * max(0.0, left - action.share) or action.share < 0.01:
            return
        left -= action.share
        yield action


def _repaired(session: Session, actions: Iterator[Action], cure: tuple[str, ...]) -> tuple[float, int]:
    """What repairing in order costs until the cure is met or the rest is handed on, and the sound parts bought."""
    base, opened, total, bought = session.base, session.opened, 0.0, 0
    for action in actions:
        total += repair_cost(base, session.prices, action.repairs, opened)
        for name in action.repairs:
            opened = open_up(base, base.repairs[name].access, opened)
        if action.repairs == cure:
            return total, bought
        bought += sum(base.repairs[name].part is not None for name in action.repairs)
    referral = session.prices.setting(base, "referral-price")
    return total + referral + repair_cost(base, session.prices, cure, opened), bought


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
