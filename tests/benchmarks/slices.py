"""Slices of a rule base, small enough for the exact optimum, chosen by a rule and not by hand.

For each technology the complaints that most of its faults are listed for, most first. The circumstances are as is most
usual, the fault showing. Of the faults the dozen likeliest; what their shares lack to one is spread over them and the
unknown in proportion. Of the questions that may be asked from the start, those that save most beyond their cost, asked
alone and then acted on; a dozen, fewer where the table of all their answers would grow over `MOST_STATES`. Outcomes
that change the odds alike count as one. Prices, minutes and access are those of the base. With a seed, another
complaint of each technology, with its faults drawn by their shares.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from engine.base import Base
from engine.belief import finding
from engine.costs import Opened, Prices, open_up, question_cost
from engine.expectations import Array, expectations, usual
from engine.planning import Candidate, Planner
from engine.session import Answer, Session

FAULTS, QUESTIONS = 12, 12
MOST_STATES = 6_000_000
CLOSED: Opened = frozenset()


@dataclass(frozen=True, eq=False)
class Slice:
    """A small problem: the shares of its faults and last of the unknown, and the questions that may be asked."""

    name: str
    base: Base
    faults: tuple[str, ...]
    shares: Array
    candidates: tuple[Candidate, ...]

    @cached_property
    def planner(self) -> Planner:
        """The planner of its faults, at the prices of the base."""
        return Planner(self.base, Prices(), self.faults)

    @property
    def states(self) -> int:
        """How many sets of answers there are."""
        return states(self.candidates)

    def fee(self, question: str, opened: Opened = CLOSED) -> float:
        """What a question costs from a state of access."""
        return question_cost(self.base, self.planner.prices, question, opened)

    def after(self, question: str, opened: Opened) -> Opened:
        """What is open once a question has been asked."""
        return open_up(self.base, self.base.questions[question].access, opened)

    def act(self, masses: Array, opened: Opened) -> float:
        """The expected cost of repairing without another question."""
        return float(self.planner.expected_cost(masses[None, :], opened)[0])


def states(candidates: tuple[Candidate, ...] | list[Candidate]) -> int:
    """How many sets of answers some questions have, unanswered ones among them."""
    found = 1
    for candidate in candidates:
        found *= len(candidate.likelihood) + 1
    return found


def complaints(base: Base, technology: str) -> list[str]:
    """The complaints of a technology, those that most of its faults are listed for first."""
    counted: dict[str, int] = {}
    for row in base.technologies[technology].frequencies.values():
        for complaint in row:
            counted[complaint] = counted.get(complaint, 0) + 1
    counted.pop("any", None)
    return sorted(counted, key=lambda complaint: (-counted[complaint], complaint))


def chosen(base: Base, each: int = 2, seed: int = 0, most: int = MOST_STATES) -> list[Slice]:
    """The slices of every technology: of its main complaints, or with a seed of others and of faults drawn."""
    rng = np.random.default_rng(seed) if seed else None
    found = []
    for technology in sorted(base.technologies):
        named = complaints(base, technology)
        wanted = named[:each] if rng is None else [str(one) for one in rng.choice(named[:8], each, replace=False)]
        found.extend(cut(base, technology, complaint, rng, most) for complaint in wanted)
    return found


def most_usual(base: Base, technology: str, complaint: str) -> Session:
    """A job of a technology and a complaint in which every circumstance that fits is as is most usual."""
    session = Session(base)
    fixed = {base.roles.technology: technology, base.roles.complaint: complaint}
    for name in (*fixed, *(name for name in base.questions if name in base.circumstances and name not in fixed)):
        if not session.open_to(name):
            continue
        shares = zip(base.questions[name].outcomes, map(float, usual(base, name)), strict=True)
        allowed = [(share, outcome) for outcome, share in shares if outcome not in base.roles.showing.get(name, ())]
        likeliest = max(allowed, key=lambda one: one[0])[1]
        session = session.answer(name, Answer(fixed.get(name, likeliest)))
    return session


def cut(base: Base, technology: str, complaint: str, rng: np.random.Generator | None, most: int) -> Slice:
    """The slice of one technology and complaint."""
    session = most_usual(base, technology, complaint)
    shares = session.belief.shares
    known = shares[:-1] / shares[:-1].sum()
    if rng is None:
        columns = np.argsort(-known, kind="stable")[:FAULTS]
    else:
        columns = rng.choice(len(known), min(FAULTS, int((known > 0).sum())), replace=False, p=known)
    columns = np.append(np.sort(columns), len(known))
    whole = Slice(
        f"{technology}, {complaint}",
        base,
        tuple(session.circuit.faults[column] for column in columns[:-1]),
        shares[columns] / shares[columns].sum(),
        (),
    )
    return replace(whole, candidates=tuple(_best(whole, list(askable(session, columns)), most)))


def askable(session: Session, columns: Array | list[int]) -> Iterator[Candidate]:
    """What may be asked from the start, and says something about these faults."""
    table = expectations(session.circuit)
    facts = frozenset(session.told.items())
    for name in sorted(table.speaking, key=session.base.order.__getitem__):
        if session.open_to(name):
            slip = finding(session.base, name, "", facts).slip
            rows = table.likelihood(name, session.circumstances, slip)[:, columns]
            merged = merge(rows)
            if len(merged) > 1:
                yield Candidate(name, merged)


def merge(rows: Array) -> Array:
    """The rows of a likelihood with those added together that change the odds alike."""
    kept: dict[tuple[float, ...], Array] = {}
    for row in rows:
        if row.max() > 0:
            shape = tuple(np.round(row / row.max(), 9))
            kept[shape] = kept[shape] + row if shape in kept else row
    return np.array(list(kept.values()))


def _best(whole: Slice, askable: list[Candidate], most: int) -> Iterator[Candidate]:
    """The questions that save most beyond their cost, as many as the table of their answers allows."""
    before = whole.act(whole.shares, CLOSED)

    def worth(candidate: Candidate) -> float:
        opened = whole.after(candidate.question, CLOSED)
        after = whole.planner.expected_cost(candidate.likelihood * whole.shares, opened).sum()
        return float(before - after) - whole.fee(candidate.question)

    taken: list[Candidate] = []
    for candidate in sorted(askable, key=lambda one: (-worth(one), one.question)):
        if len(taken) < QUESTIONS and states([*taken, candidate]) <= most:
            taken.append(candidate)
            yield candidate
