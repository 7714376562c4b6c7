"""A diagnosis as a value: answers in, the next step and the verdict out. Pure; every front end is a shell around it."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from engine import circumstances, mending, planning, rootcauses
from engine.base import Base
from engine.belief import Belief, Finding, believe, finding
from engine.clash import Clash, find_clash, find_misfit
from engine.costs import Opened, Prices, way, way_is_open
from engine.expectations import expectations
from engine.grounding import Circuit, ground
from engine.mending import Mending
from engine.planning import Candidate, Plan, Planner
from engine.reasoning import Reasoning, holds, holds_any, reason, unopposed
from engine.steps import Answer, Ask, Cured, End, Fill, Inspect, Step, Warn
from engine.vehicle import which
from engine.verdict import Verdict, judge, stops

__all__ = ["Answer", "Ask", "End", "Fill", "Session", "Step", "Warn"]

BY_HAND = ("test", "reading")  # the kinds of question that cost work at the car


@dataclass(frozen=True, eq=False)
class Session:
    """A job in hand. Every change gives a new session; what is computed belongs to the one value it came from."""

    base: Base
    answers: Mapping[str, Answer] = field(default_factory=dict)
    later: frozenset[str] = frozenset()
    acknowledged: frozenset[str] = frozenset()
    declined: frozenset[str] = frozenset()
    rechecked: frozenset[str] = frozenset()
    remarks: tuple[str, ...] = ()
    prices: Prices = field(default_factory=Prices)
    wanted: str | None = None
    mending: Mending = field(default_factory=Mending)
    waiting: Session | None = None  # the search for the other complaint, see `turning`

    # what a person does

    def answer(self, question: str, answer: Answer) -> Session:
        """The session with this answer; the same answer given again counts as confirmed."""
        before = self.answers.get(question)
        if before and before.outcome == answer.outcome and question in self.rechecked:
            answer = replace(answer, confirmed=True)
        if answer.hidden is None and self.base.questions[question].showing and self._hidden is not None:
            answer = replace(answer, hidden=self._hidden)
        kept = {name: one for name, one in self.answers.items() if name != question}
        return replace(self, answers={**kept, question: answer}, later=self.later - {question}, wanted=None)

    def put_off(self, question: str) -> Session:
        """The session in which this cannot be done now."""
        return replace(self, later=self.later | {question}, wanted=None)

    def amend(self, question: str) -> Session:
        """The session as if the question had never been answered; it is asked next."""
        kept = {name: one for name, one in self.answers.items() if name != question}
        return replace(self, answers=kept, later=self.later - {question}, wanted=question)

    def acknowledge(self, cautions: Iterable[str]) -> Session:
        """The session in which these cautions have been read."""
        return replace(self, acknowledged=self.acknowledged.union(cautions))

    def decline(self, cautions: Iterable[str]) -> Session:
        """The session in which nothing is asked that carries these dangers."""
        return replace(self, declined=self.declined.union(cautions))

    def recheck(self, question: str) -> Session:
        """The session in which this answer has been asked for again."""
        return replace(self, rechecked=self.rechecked | {question})

    def remark(self, text: str) -> Session:
        """The session with a remark more."""
        return replace(self, remarks=(*self.remarks, text))

    # what follows from it

    @cached_property
    def told(self) -> Mapping[str, str]:
        """Questions answered with an outcome, circumstances first, in the order of the base."""
        order = self.base.order
        named = sorted((name for name, one in self.answers.items() if one.outcome is not None), key=order.__getitem__)
        return {name: self.answers[name].outcome or "" for name in named}

    @cached_property
    def evidence(self) -> Mapping[str, str]:
        """What is told, less the answers to questions that do not suit this lamp: they are set aside."""
        return {name: value for name, value in self.told.items() if self._suits(name)}

    @cached_property
    def circumstances(self) -> Mapping[str, str]:
        """What is known of vehicle and complaint."""
        return {name: value for name, value in self.evidence.items() if name in self.base.circumstances}

    @property
    def technology(self) -> str | None:
        """The technology of the lamp, once known."""
        return self.told.get(self.base.roles.technology)

    @property
    def complaint(self) -> str | None:
        """The complaint, once known."""
        return self.told.get(self.base.roles.complaint)

    @property
    def second(self) -> str | None:
        """The complaint beside the first, if there is one."""
        told = self.told.get(self.base.roles.second or "")
        return told if told in self.base.complaints else None

    @cached_property
    def _hidden(self) -> bool | None:
        known = any(name in self.told for name in self.base.roles.showing)
        return holds(self.base.roles.showing, frozenset(self.told.items())) if known else None

    @cached_property
    def circuit(self) -> Circuit:
        """The rules and faults in play."""
        return ground(self.base, self.technology)

    @cached_property
    def findings(self) -> Mapping[str, Finding]:
        """The answers that are evidence, weighed."""
        facts = frozenset(self.evidence.items())
        found = {}
        for name, outcome in self.evidence.items():
            if name not in self.base.circumstances:
                answer = self.answers[name]
                hidden = answer.hidden if answer.hidden is not None else bool(self._hidden)
                found[name] = finding(self.base, name, outcome, facts, hidden, answer.confirmed)
        return found

    @cached_property
    def reasoning(self) -> Reasoning:
        """What the rules say of the answers."""
        doubts = frozenset(name for name, found in self.findings.items() if found.doubt)
        return reason(self.circuit, self.evidence, doubts)

    @cached_property
    def belief(self) -> Belief:
        """The odds."""
        return believe(self.reasoning, self.findings, self.complaint, self.second, self.mending.attempts)

    @cached_property
    def clash(self) -> Clash | None:
        """The contradiction among the answers, if there is one."""
        return find_clash(self.reasoning, self.belief.slips)

    @cached_property
    def misfit(self) -> str | None:
        """The answer worth a second look, if any; on less odds of a slip where nothing known here fits."""
        least = self.base.setting("recheck-lost" if self.verdict.kind == "unknown" else "recheck-share")
        ready = filter(self.fits, self.findings.keys() - self.rechecked)
        return find_misfit(self.belief, self.findings, least, frozenset(ready))

    @cached_property
    def opened(self) -> Opened:
        """How far the car is apart."""
        return planning.settle(self.base, self.told) | self.mending.opened

    @cached_property
    def rates(self) -> Prices:
        """The prices for this job: less for handing on under guarantee, more for tests where few could be done."""
        prices = self.prices.covered(self.base) if self.covered else self.prices
        asked = [one.outcome for name, one in self.answers.items() if self.base.questions[name].kind in BY_HAND]
        return prices.per_answer(self.base, asked)

    @property
    def covered(self) -> bool:
        """Whether somebody else has to mend the lamp at no charge."""
        return any(self.told.get(name) in values for name, values in self.base.roles.covered.items())

    @cached_property
    def plan(self) -> Plan:
        """What acting now costs and which questions are worth asking."""
        planner = Planner(self.base, self.rates, self.circuit.faults, self.mending.repaired, self.covered)
        plan = planner.plan(self.belief.shares, self.candidates, self.opened)
        choices = [*plan.choices, *circumstances.worth_asking(self, planner, plan)]
        return Plan(plan.act_now, tuple(sorted(choices, key=lambda choice: (choice.value, choice.question))))

    @cached_property
    def verdict(self) -> Verdict:
        """Where the answers leave things; once the lamp works, where they left them when its repair was begun."""
        hand = self.mending.hand
        if hand is not None and hand.result is not None:
            return hand.verdict
        done = self.mending.repaired
        other = self.waiting.verdict.actions[:1] if self.waiting is not None else ()
        wanted = frozenset(name for action in other for name in action.repairs)
        return judge(self.reasoning, self.belief, self.rates, self.opened, self.clash, done, wanted, self.covered)

    @cached_property
    def step(self) -> Step:
        """What to do next."""
        if stops(self.reasoning):
            return End()
        if self.wanted is not None:
            return Ask(self.wanted)
        if self.mending.hand is not None:
            return mending.next_step(self.mending, self.base, self.acknowledged) or self._after_cure()
        opening = next(self._opening(), None)
        if opening is not None:
            return opening
        if self.clash is not None and self.clash.suspect not in self.rechecked:
            return Ask(self.clash.suspect, again=True)
        best = None if self.verdict.settled else self.plan.best
        at_once = self.base.setting("recheck-at-once")
        if self.misfit is not None and (best is None or self.belief.slips[self.misfit] >= at_once):
            return Ask(self.misfit, again=True)
        return End() if best is None else self._lead_up(best.question)

    def _after_cure(self) -> Step:
        """Why it failed is looked into while the lamp is still open; then it is put back, aimed, and closed."""
        question = next(iter(self.root_questions), None)
        if self.mending.closed:
            return Cured(self.open_causes, closed=True)
        if question is not None:
            return self._lead_up(question, frozenset())
        unseen = tuple(cause for cause in self.open_causes if cause not in self.mending.seen)
        found = next((cause for cause in self.open_causes if self.mending.seen.get(cause) == "found"), None)
        if unseen or found:
            return Inspect((found,) if found else unseen)
        return mending.after_cure(self.mending, self.base) or Cured(self.open_causes)

    @cached_property
    def root_questions(self) -> tuple[str, ...]:
        """Questions that may bring up why the mended fault came, and for which nothing more has to be opened.

        None that the repair made stale: it would be answered of the new part.
        """
        wanted = rootcauses.candidates(self.base, self.mending, self.reasoning)
        hand = self.mending.hand
        stale = {name for repair in (hand.repairs if hand else ()) for name in self.base.repairs[repair].stale}
        return tuple(
            name
            for name in rootcauses.questions(self.circuit, self.reasoning.facts, wanted)
            if name not in stale and self.open_to(name) and way_is_open(self.base, name, self.opened)
        )

    @cached_property
    def open_causes(self) -> tuple[str, ...]:
        """Root causes that are still to be looked at or mended, those that rules brought up first."""
        return rootcauses.still_open(self.base, self.mending, self.reasoning)

    def _opening(self) -> Iterator[Step]:
        vehicle = which(self.mending.vehicle)
        if vehicle is not None:
            yield vehicle
        for name in self.base.roles.opening:
            form = self.base.forms.get(name)
            if form is not None:
                items = tuple(item for item in form.items if self.open_to(item))
                if items:
                    yield Fill(name, items)
            elif self.open_to(name):
                yield Ask(name)
            elif name == self.base.roles.technology and self.technology is None:
                yield Ask(name)  # nothing can be said of a lamp of unknown kind

    def _lead_up(self, question: str, above: frozenset[str] = frozenset()) -> Step:
        """The question, or what has to be known, measured or acknowledged before it."""
        entry = self.base.questions[question]
        at_hand = (name for tool in entry.tools for name in self.base.tools[tool].at_hand)
        for name in (*entry.suits, *at_hand, *entry.first):
            if name not in above and self.open_to(name):
                return self._lead_up(name, above | {question})
        dangers = self.dangers(question)
        serious = tuple(name for name in dangers if self.base.cautions[name].serious and name not in self.acknowledged)
        return Warn(serious, question) if serious else Ask(question)

    def dangers(self, question: str) -> tuple[str, ...]:
        """The cautions of a question, those of what has to be opened up for it included."""
        entry = self.base.questions[question]
        ways = (self.base.access[state].cautions for state in way(self.base, entry.access) if state not in self.opened)
        return tuple(dict.fromkeys((*entry.cautions, *itertools.chain.from_iterable(ways))))

    def open_to(self, question: str) -> bool:
        """Whether the question makes sense, has not been answered or put off, and is allowed."""
        return question not in self.answers and question not in self.later and self.fits(question)

    def fits(self, question: str) -> bool:
        """Whether the question makes sense for this lamp, its tools are at hand, and nothing bars it or moots it."""
        entry = self.base.questions[question]
        barred = self.barred and self.barred.intersection(self.dangers(question))
        at_hand = all(unopposed(self.base.tools[tool].at_hand, self.told) for tool in entry.tools)
        ready = holds(entry.after, self.reasoning.facts) and not holds_any(entry.moot, self.reasoning.facts)
        return not barred and at_hand and self._suits(question) and ready

    def _suits(self, question: str) -> bool:
        return unopposed(self.base.questions[question].suits, self.told)

    @cached_property
    def barred(self) -> frozenset[str]:
        """The cautions whose questions are not asked: declined by the person or barred by a rule."""
        ruled = (name for firing in self.reasoning.firings for name in self.base.rules[firing.rule.id].bars)
        return self.declined.union(ruled)

    @cached_property
    def candidates(self) -> list[Candidate]:
        """The questions that are evidence and could be asked now."""
        table = expectations(self.circuit)
        facts = frozenset(self.told.items())
        found = []
        for name in table.in_order:
            if self.open_to(name):
                slip = finding(self.base, name, "", facts, bool(self._hidden)).slip
                found.append(Candidate(name, table.likelihood(name, self.circumstances, slip)))
        return found

    def supposing(self, question: str, outcome: str) -> Session:
        """The session as if this had been answered."""
        found = self._supposed.get((question, outcome))
        if found is None:
            answers = {**self.answers, question: Answer(outcome)}
            found = self._supposed[question, outcome] = replace(self, answers=answers)
        return found

    @cached_property
    def _supposed(self) -> dict[tuple[str, str], Session]:
        return {}
