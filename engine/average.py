"""What a job is expected to cost over all its suspects: acted on at once, by the planner, at best, with all known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from engine.belief import finding
from engine.costs import Opened, open_up, question_cost
from engine.expectations import Array, expectations
from engine.planning import Candidate, Planner
from engine.session import Session

MOST = 7  # questions among which the best order is looked for
RARE = 0.004  # a set of answers less likely than this is acted on


@dataclass(frozen=True)
class Average:
    """Expected costs, minutes valued as money. `best` is exact over the `questions` worth most, adaptively asked."""

    at_once: float
    planner: float
    best: float
    known: float
    questions: tuple[str, ...]


def average(session: Session) -> Average:
    """The expected costs from a session on."""
    planner = Planner(session.base, session.rates, session.circuit.faults, session.mending.repaired, session.covered)
    candidates = {one.question: one for one in candidates_of(session)}
    chosen = [choice.question for choice in session.plan.choices if choice.question in candidates][:MOST]
    search = _Search(session, planner, {name: candidates[name] for name in chosen})
    best = search.least(session.belief.shares, session.opened, frozenset())
    groups = session.belief.shares @ planner.grouping
    known = float((groups[:-1] * planner.costs(session.opened)).sum())
    known += float(groups[-1]) * session.rates.setting(session.base, "referral-price")
    plan = session.plan
    return Average(plan.act_now, plan.value, min(best, plan.value), min(known, best), tuple(chosen))


def candidates_of(session: Session) -> list[Candidate]:
    """The questions that could be asked and that rules look at, with what is expected of each."""
    table, facts = expectations(session.circuit), frozenset(session.told.items())
    found = []
    for name in sorted(table.speaking, key=session.base.order.__getitem__):
        if session.open_to(name):
            slip = finding(session.base, name, "", facts).slip
            found.append(Candidate(name, table.likelihood(name, session.circumstances, slip)))
    return found


@dataclass
class _Search:
    """The least expected cost over every adaptive order of a few questions, each state looked at once."""

    session: Session
    planner: Planner
    candidates: Mapping[str, Candidate]
    seen: dict[frozenset[tuple[str, int]], float] = field(default_factory=dict)

    def least(self, masses: Array, opened: Opened, answers: frozenset[tuple[str, int]]) -> float:
        """The least expected cost from answers on, for the mass that gives them."""
        if answers in self.seen:
            return self.seen[answers]
        cost = float(self.planner.expected_cost(masses[None, :], opened)[0])
        total = float(masses.sum())
        asked = {name for name, _ in answers}
        if total >= RARE:
            for name in self.candidates.keys() - asked:
                cost = min(cost, self._asking(name, masses, total, opened, answers))
        self.seen[answers] = cost
        return cost

    def _asking(
        self, name: str, masses: Array, total: float, opened: Opened, answers: frozenset[tuple[str, int]]
    ) -> float:
        base = self.session.base
        fee = question_cost(base, self.session.prices, name, opened) * total
        then = open_up(base, base.questions[name].access, opened)
        rows = self.candidates[name].likelihood
        return fee + sum(self.least(masses * row, then, answers | {(name, at)}) for at, row in enumerate(rows))
