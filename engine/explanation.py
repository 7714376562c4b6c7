"""Why: what a question would settle, what the rules made of the answers, what speaks for and against a fault."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from engine import circuit_readings
from engine.belief import uncured
from engine.costs import question_cost, question_minutes
from engine.entries import VERBS
from engine.expectations import expectations, ratio
from engine.givens import foretold
from engine.grounding import Effect
from engine.reasoning import Firing
from engine.session import Answer, Session
from engine.wording import fact_words, fault_name, title

LEADING = 4
BESIDE = 0.25  # a share from which a double fault is named beside the one of it that was found
CLEARLY = 1.5  # a factor from which an answer or a rule is named as speaking for a fault


@dataclass(frozen=True)
class Shift:
    """How the share of a fault moves."""

    fault: str
    name: str
    before: float
    after: float


@dataclass(frozen=True)
class Branch:
    """What one answer would do: how likely it is, and where the leading suspects would go."""

    outcome: str
    say: str
    share: float
    shifts: tuple[Shift, ...]
    verdict: str


@dataclass(frozen=True)
class Why:
    """Why a question is asked: its minutes and cost, what acting now costs, what asking is expected to save.

    `sound` says what a sound car would show to a reading, where physics has a say.
    """

    question: str
    minutes: float
    cost: float
    act_now: float
    saving: float | None
    branches: tuple[Branch, ...]
    sound: str = ""


@dataclass(frozen=True)
class Line:
    """A firing for the trace: the rule, where it stands, what it matched, what it did, why, and says who."""

    rule: str
    place: str
    matched: tuple[str, ...]
    did: tuple[str, ...]
    because: str
    sources: tuple[str, ...]
    doubtful: bool


@dataclass(frozen=True)
class Told:
    """An answer for the trace: the question, the outcome, how a reading was sorted, and why it is doubtful."""

    question: str
    title: str
    outcome: str | None
    said: str
    working: tuple[str, ...]
    doubt: str
    slip: float | None


@dataclass(frozen=True)
class Trace:
    """The reasoning so far: answers, where volts are lost, then rules in the order in which they fired."""

    told: tuple[Told, ...]
    losses: tuple[str, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Weight:
    """What one answer or rule did to a fault: the factor on its share against the others together."""

    what: str
    factor: float


@dataclass(frozen=True)
class Doubted:
    """Why a fault is in or out."""

    fault: str
    name: str
    says: str
    before: float
    now: float
    weights: tuple[Weight, ...]
    excluded_by: tuple[Line, ...]
    proved_by: tuple[Line, ...]


def shifts(before: Session, after: Session) -> tuple[Shift, ...]:
    """How the leading faults of either session move."""
    now, then = dict(before.belief.ranking()), dict(after.belief.ranking())
    leading = [fault for fault, _ in before.belief.ranking()[:LEADING]]
    leading += [fault for fault, _ in after.belief.ranking()[:2] if fault not in leading]
    base = before.base
    return tuple(Shift(one, fault_name(base, one), now.get(one, 0.0), then.get(one, 0.0)) for one in leading)


def why(session: Session, question: str) -> Why:
    """What a question would settle, answer by answer."""
    base = session.base
    entry = base.questions[question]
    shares = _outcome_shares(session, question)
    branches = []
    for (outcome, meaning), share in zip(entry.outcomes.items(), shares, strict=True):
        then = session.answer(question, Answer(outcome))
        branches.append(Branch(outcome, meaning.say, share, shifts(session, then), then.verdict.kind))
    minutes = question_minutes(base, session.prices, question, session.opened)
    cost = question_cost(base, session.prices, question, session.opened)
    chosen = next((choice for choice in session.plan.choices if choice.question == question), None)
    saving = session.plan.act_now - chosen.value if chosen else None
    sound = foretold(session, question)
    return Why(question, minutes, cost, session.plan.act_now, saving, tuple(branches), sound)


def _outcome_shares(session: Session, question: str) -> list[float]:
    table = expectations(session.circuit)
    slip = session.base.setting("slip-doubtful") if question not in table.speaking else 0.0
    rows = table.likelihood(question, session.circumstances, slip)
    return [float(share) for share in rows @ session.belief.shares]


def trace(session: Session) -> Trace:
    """The reasoning so far."""
    told = []
    for name in [*session.told, *(name for name, one in session.answers.items() if one.outcome is None)]:
        answer, found = session.answers[name], session.findings.get(name)
        told.append(
            Told(
                name,
                title(session, name),
                answer.outcome,
                answer.said,
                answer.working,
                found.doubt if found else _set_aside(session, name),
                found.slip if found else None,
            )
        )
    return Trace(tuple(told), circuit_readings.words(session), lines(session, session.reasoning.firings))


def _set_aside(session: Session, name: str) -> str:
    aside = name in session.told and name not in session.evidence
    if not aside:
        return ""
    judged = any(name in session.base.questions[other].given.values() for other in session.answers)
    used = " Other readings are judged with it all the same." if judged else ""
    return f"It does not suit this lamp, so no rule looks at it.{used}"


def lines(session: Session, firings: Iterable[Firing]) -> tuple[Line, ...]:
    """Firings put into words."""
    return tuple(_line(session, firing) for firing in firings)


def _line(session: Session, firing: Firing) -> Line:
    base, rule = session.base, session.base.rules[firing.rule.id]
    concluded = [f"so {fact_words(session, name, value)}" for name, value in firing.rule.concludes]
    named = [base.causes[name].name if name in base.causes else base.cautions[name].name for name in rule.advises]
    did = [
        *concluded,
        *(_effect_words(session, effect, firing.doubtful) for effect in firing.rule.effects),
        *(f"look into: {name}" for name in named),
        *(f"stop: {base.cautions[name].name}" for name in rule.stops),
        *(f"no more tests with: {base.cautions[name].name}" for name in rule.bars),
    ]
    return Line(
        firing.rule.id,
        str(base.place("rules", firing.rule.id)),
        tuple(fact_words(session, name, value) for name, value in firing.facts),
        tuple(did),
        rule.because,
        tuple(base.sources[name].title for name in rule.source),
        firing.doubtful,
    )


def _effect_words(session: Session, effect: Effect, doubtful: bool) -> str:
    verb = VERBS[effect.kind]
    if doubtful and effect.kind in ("excludes", "proves"):
        verb = "would have ruled out" if effect.kind == "excludes" else "would have proved"
    known = [fault for fault in session.circuit.faults if fault in effect.faults]
    names = [fault_name(session.base, fault) for fault in known]
    strength = f" ({effect.strength})" if effect.strength else ""
    return f"{verb}{strength}: {', '.join(names)}"


def doubt(session: Session, fault: str) -> Doubted:
    """What speaks for and against a fault; factors are against all others together."""
    base, belief = session.base, session.belief
    column = session.circuit.faults.index(fault)
    start = session.circuit.prior(session.complaint, session.second)[column]
    table = expectations(session.circuit)
    weights = []
    for name, found in session.findings.items():
        if name not in table.speaking:
            continue
        row = table.likelihood(name, session.circumstances, found.slip)[
            list(base.questions[name].outcomes).index(found.outcome)
        ]
        others = belief.shares.copy()
        others[column] = 0
        average = float((others * row).sum() / others.sum()) if others.sum() > 0 else 1.0
        weights.append(Weight(fact_words(session, name, found.outcome), float(row[column]) / average))
    for rule, supports in session.reasoning.rested:
        if all(len(support) != 1 for support in supports):
            for effect in rule.effects:
                if fault in effect.faults:
                    weights.append(Weight(base.rules[rule.id].because, ratio(base, effect)))
    missed = uncured(base, fault, session.mending.attempts)
    if missed < 1:
        weights.append(Weight("its repair was done and did not cure", missed))
    weights.sort(key=lambda weight: -abs(math.log(max(weight.factor, 1e-9))))
    return Doubted(
        fault,
        fault_name(base, fault),
        base.faults[fault].says,
        start,
        belief.share(fault),
        tuple(weights),
        lines(session, session.reasoning.exclusions.get(fault, ())),
        lines(session, session.reasoning.proofs.get(fault, ())),
    )


def grounds(session: Session, fault: str) -> tuple[str, ...]:
    """The answers and rules that speak clearly for a fault, the weightiest first, in words."""
    return tuple(one.what for one in doubt(session, fault).weights if one.factor > CLEARLY)


def beside(session: Session) -> tuple[str, float] | None:
    """The likeliest double fault of which only one half has been found, and its share; None if none is worth a word."""
    found, faults = set(session.verdict.faults), session.base.faults
    pairs = (
        (fault, share)
        for fault, share in session.belief.ranking()
        if fault not in found and found.intersection(faults[fault].both)
    )
    likeliest = next(pairs, None)
    return likeliest if likeliest is not None and likeliest[1] >= BESIDE else None


def denied(session: Session, question: str) -> str:
    """The likeliest of the faults that the answer to a question rules out by itself; the likeliest of all if none."""
    ranked = [fault for fault, _ in session.belief.ranking()]
    alone = frozenset({question})
    firings = session.reasoning.exclusions
    ruled_out = (fault for fault in ranked if any(alone in firing.supports for firing in firings.get(fault, ())))
    return next(ruled_out, ranked[0])
