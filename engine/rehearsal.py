"""A car with a hidden fault for practice: it answers every question as such a car would, the same to all who ask."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from engine.answers import Understood, interpret
from engine.base import Base
from engine.expectations import expectations, usual
from engine.grounding import ground
from engine.reasoning import reason
from engine.references import ANY
from engine.session import Answer, Session

ROUNDS = 60  # of mending answers that do not go together
GRID = 60  # readings that are tried for one that fits
STRANGE = 1e-9  # a share below which a thing is taken not to happen


class NoSuchCar(ValueError):
    """What was wished for cannot be: the fault is not in play for that lamp, or never shows that complaint."""


@dataclass(frozen=True, eq=False)
class Car:
    """A car for practice. Anything that prints it shows neither the fault nor the answers."""

    base: Base = field(repr=False)
    seed: int
    technology: str
    complaint: str
    fault: str = field(repr=False)
    answers: Mapping[str, str] = field(repr=False)

    def answer(self, session: Session, question: str) -> Answer:
        """What the car shows: an outcome, or a figure that comes to it by way of the question's own computation."""
        outcome = self.answers[question]
        said = self.figures.get(question)
        if said is None:
            return Answer(outcome)
        if _sorted_as(session, question, said) != outcome:  # reckoned with less than is known of the car
            said = self._chosen(session, question) or said
        understood = interpret(session, question, said)
        return understood.answer if isinstance(understood, Understood) else Answer(outcome)

    @cached_property
    def opening(self) -> Session:
        """The job as it is handed to the trainee: what the driver says, which costs nothing."""
        base = self.base
        first = base.items(base.roles.opening)
        session = Session(base)
        for name in dict.fromkeys((base.roles.technology, base.roles.complaint, *first, *base.about_tools)):
            if session.fits(name):
                session = session.answer(name, Answer(self.answers[name]))
        return session

    @cached_property
    def figures(self) -> Mapping[str, str]:
        """The figure of each reading, reckoned with the other readings of the same car."""
        found: dict[str, str] = {}
        readings = [name for name, entry in self.base.questions.items() if entry.kind == "reading"]
        open_: set[str] = set()

        def take(name: str, session: Session) -> Session:
            if name not in found and name not in open_:
                open_.add(name)
                known = self.opening
                for word in self.base.questions[name].given.values():
                    if word in readings:  # of readings that are reckoned with each other, one has to come first
                        known = take(word, known)
                said = self._chosen(known, name)
                if said is not None:
                    found[name] = said
            understood = interpret(session, name, found[name]) if name in found else None
            return session.answer(name, understood.answer) if isinstance(understood, Understood) else session

        for name in readings:
            take(name, self.opening)
        return found

    def _chosen(self, session: Session, question: str) -> str | None:
        figures = self._figures(session, question, self.answers[question])
        return random.Random(f"{self.seed} {question} figure").choice(figures) if figures else None

    def _figures(self, session: Session, question: str, outcome: str) -> tuple[str, ...]:
        """Figures with their unit that come to an outcome; none is above the like figure it is reckoned from."""
        entry = self.base.questions[question]
        like = [word for word in entry.given.values() if word in session.answers]
        like = [word for word in like if self.base.questions[word].unit == entry.unit]
        tops = [reading for word in like if (reading := session.answers[word].reading) is not None]
        for limits in (entry.expected, entry.plausible):
            said = [f"{one:.3g}" for one in _between(limits) if not tops or one <= max(tops)]
            found = [f"{one} {entry.unit}" for one in dict.fromkeys(said)]
            found = [one for one in found if _sorted_as(session, question, one) == outcome]
            if found:
                return tuple(found)
        return ()


def _sorted_as(session: Session, question: str, said: str) -> str | None:
    understood = interpret(session, question, said)
    return understood.answer.outcome if isinstance(understood, Understood) else None


def _between(limits: tuple[float, float] | None) -> Iterator[float]:
    """Figures within limits: evenly, and closer near the lower one, where resistances and losses are told apart."""
    low, high = limits or (0.0, 0.0)
    for power in (1, 4):
        for number in range(GRID + 1 if high > low else 0):
            yield low + (high - low) * (number / GRID) ** power


def hide(
    base: Base, seed: int, fault: str | None = None, technology: str | None = None, complaint: str | None = None
) -> Car:
    """A car whose fault is drawn by the odds, or is the one named. Equal arguments, equal cars. Raises NoSuchCar."""
    dice = random.Random(seed)
    lamp = technology or _any(dice, _lamps(base, fault))
    shown = complaint or _any(dice, _complaints(base, lamp, fault))
    circuit = ground(base, lamp)
    prior = dict(zip(circuit.faults, circuit.prior(shown), strict=True))
    hidden = fault or dice.choices(list(prior), list(prior.values()))[0]
    if hidden not in prior:
        raise NoSuchCar("that fault is not in play for this lamp")
    return Car(base, seed, lamp, shown, hidden, _Drawing(base, seed, lamp, shown, hidden).answers())


def _lamps(base: Base, fault: str | None) -> list[str]:
    return [name for name in base.technologies if fault is None or fault in ground(base, name).faults]


def _complaints(base: Base, technology: str, fault: str | None) -> list[str]:
    """Complaints that the fault is listed behind, or any fault of the technology."""
    table = base.technologies[technology].frequencies
    rows = [table[fault]] if fault in table else list(table.values()) if fault is None else []
    listed = {name for row in rows for name in row}
    known = list(base.questions[base.roles.complaint].outcomes)
    return [one for one in known if one in listed] or (known if ANY in listed else [])


def _any(dice: random.Random, names: list[str]) -> str:
    if not names:
        raise NoSuchCar("no lamp has that fault with that complaint")
    return dice.choice(names)


class _Drawing:
    """Draws what a car answers. Each question has dice of its own, so that no answer hangs on what is asked before."""

    def __init__(self, base: Base, seed: int, technology: str, complaint: str, fault: str) -> None:
        self.base, self.seed, self.fault = base, seed, fault
        self.circuit = ground(base, technology)
        self.table = expectations(self.circuit)
        self.column = self.table.columns[fault]
        self.known = {base.roles.technology: technology, base.roles.complaint: complaint, **base.alone}
        forms = [base.forms[name] for name in base.roles.opening if name in base.forms]
        self.struck = {item for form in forms for item in form.items}

    def answers(self) -> Mapping[str, str]:
        """An outcome for every question, of which no two contradict each other or the fault."""
        told = self._circumstances()
        drawn = {name: self._draw(name, told, 0) for name in self.base.questions if name not in told}
        for number in range(1, ROUNDS):
            wrong = next(self._strange({**told, **drawn}), None)
            if wrong is None:
                break
            name = random.Random(f"{self.seed} {number}").choice(sorted(wrong - told.keys()) or sorted(drawn))
            drawn[name] = self._draw(name, told, number)
        return {**told, **drawn}

    def _circumstances(self) -> dict[str, str]:
        """Vehicle and complaint: one on which this fault can show this complaint, and shows; all tools are at hand."""
        told = dict(self.known)
        for tool in self.base.tools.values():
            told.update((name, values[0]) for name, values in tool.at_hand.items())
        for name, hiding in self.base.roles.showing.items():
            told[name] = next(one for one in self.base.questions[name].outcomes if one not in hiding)
        for name in self.base.questions:
            if name in self.base.circumstances and name not in told:
                shares = [
                    share * self.table.weights({**told, name: outcome})[self.column]
                    for outcome, share in zip(self.base.questions[name].outcomes, usual(self.base, name), strict=True)
                ]
                told[name] = self._pick(name, shares, 0)
        return told

    def _draw(self, question: str, told: Mapping[str, str], number: int) -> str:
        outcomes = list(self.base.questions[question].outcomes)
        if question not in self.table.speaking:
            shares = list(usual(self.base, question))
            return outcomes[shares.index(max(shares))]
        shares = list(self.table.table(question, told)[:, self.column])
        if question in self.struck and number == 0:  # what strikes the eye at the start, without odd coincidences
            return outcomes[shares.index(max(shares))]
        return self._pick(question, shares, number)

    def _pick(self, question: str, shares: Iterable[float], number: int) -> str:
        outcomes, weights = list(self.base.questions[question].outcomes), [float(share) for share in shares]
        if sum(weights) <= STRANGE:
            weights = [float(share) for share in usual(self.base, question)]
        return random.Random(f"{self.seed} {question} {number}").choices(outcomes, weights)[0]

    def _strange(self, facts: Mapping[str, str]) -> Iterator[frozenset[str]]:
        """The findings behind each rule that would exclude the fault, or prove one that is not there."""
        parts = {self.fault, *self.base.faults[self.fault].both}
        for rule, supports in reason(self.circuit, facts).rested:
            for effect in rule.effects:
                lies = effect.kind == "excludes" and self.fault in effect.faults
                if (lies or (effect.kind == "proves" and not effect.faults & parts)) and supports and supports[0]:
                    yield supports[0]


def askable(session: Session) -> tuple[str, ...]:
    """The questions that make sense for this car and have not been asked."""
    return tuple(name for name in session.base.questions if session.open_to(name))
