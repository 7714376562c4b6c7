"""Belief: the odds of every fault after all answers, with the slips people make allowed for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from engine.base import Base
from engine.expectations import Array, Expectations, expectations, ratio, usual
from engine.grounding import Circuit
from engine.reasoning import Fact, Reasoning

CONFIRMED = 0.3  # what is left of a slip's odds when the same answer has been given twice
UNKNOWN = "unknown"  # the hypothesis that no rule may exclude


@dataclass(frozen=True)
class Finding:
    """An answer as evidence: the outcome, how likely it is a slip, and why it is doubtful, if it is."""

    outcome: str
    slip: float
    doubt: str = ""


def slip_of(base: Base, question: str) -> float:
    """How often the answer to a question is wrong when its conditions are met."""
    entry = base.questions[question]
    return entry.slip if entry.slip is not None else base.setting(f"slip-{entry.kind}")


def finding(
    base: Base, question: str, outcome: str, facts: frozenset[Fact], hidden: bool = False, confirmed: bool = False
) -> Finding:
    """An answer weighed: `hidden` says that the fault was not showing, `confirmed` that it has been given twice."""
    entry = base.questions[question]
    left = CONFIRMED if confirmed else 1.0
    slip = slip_of(base, question) * left
    doubtful = max(slip_of(base, question), base.setting("slip-doubtful")) * left
    if entry.showing and hidden:
        return Finding(outcome, doubtful, "The fault was not showing at the time, so this says little.")
    for doubt in entry.doubtful:
        if any((name, value) in facts for name, values in doubt.when.items() for value in values):
            return Finding(outcome, doubtful, doubt.because)
    return Finding(outcome, slip)


@dataclass(frozen=True, eq=False)
class Belief:
    """The share of every fault, and last of the unknown.

    `slips`: for each answer the odds, from 0 to 1, that it was a slip, if the fault is one of those known.
    """

    circuit: Circuit
    shares: Array
    slips: Mapping[str, float]

    def share(self, fault: str) -> float:
        """The probability of a fault, from 0 to 1."""
        return float(self.shares[self.circuit.faults.index(fault)])

    @property
    def unknown(self) -> float:
        """The probability that the fault is outside what is known here."""
        return float(self.shares[-1])

    def ranking(self) -> list[tuple[str, float]]:
        """Faults by falling share; the unknown is not among them."""
        pairs = zip(self.circuit.faults, map(float, self.shares), strict=False)
        return sorted(pairs, key=lambda pair: (-pair[1], pair[0]))


def believe(
    reasoning: Reasoning,
    findings: Mapping[str, Finding],
    complaint: str | None,
    second: str | None = None,
    attempts: Iterable[Iterable[str]] = (),
) -> Belief:
    """The posterior of every fault.

    prior x P'(outcome | fault) over answered questions x the rules that needed two findings or more x what repairs
    that did not cure say (the repairs of each of `attempts`), where P' = (1 - slip) P + slip x usual. Naive Bayes; it
    does not depend on the order of answers and repairs.
    """
    circuit = reasoning.circuit
    table = expectations(circuit)
    circumstances = {name: value for name, value in reasoning.findings.items() if name in circuit.base.circumstances}
    prior = np.array([*circuit.prior(complaint, second), circuit.base.setting("unknown-share")])
    log = np.log(prior / prior.sum()) + np.log(_joint_weights(reasoning, findings, table))
    tried = tuple(map(tuple, attempts))
    if tried:
        log[:-1] += np.log([uncured(circuit.base, fault, tried) for fault in circuit.faults])
    rows: dict[str, Array] = {}
    for name, found in findings.items():
        if name in table.speaking:
            rows[name] = table.likelihood(name, circumstances, found.slip)[_row(circuit.base, name, found.outcome)]
            log += np.log(rows[name])
    shares = np.exp(log - log.max())
    shares /= shares.sum()
    known = shares[:-1] / shares[:-1].sum() if circuit.faults else shares[:-1]
    slips = {
        name: float((known * found.slip * _usual(circuit.base, name, found.outcome) / rows[name][:-1]).sum())
        for name, found in findings.items()
        if name in rows
    }
    return Belief(circuit, shares, slips)


def uncured(base: Base, fault: str, attempts: Iterable[Iterable[str]]) -> float:
    """P(the lamp is not cured | fault, these repairs done), from 0 to 1; 1 while a repair it needs is not done.

    New parts fail too, and wrong ones are fitted: each repair misses its fault with the setting `dud-share`, and the
    misses are taken as independent of each other.
    """
    times = Counter(name for repairs in attempts for name in repairs)
    needed = set(base.faults[fault].repair)
    rounds = min(times[name] for name in needed)
    missed: float = 1 - (1 - base.setting("dud-share")) ** len(needed)
    return missed**rounds


def _joint_weights(reasoning: Reasoning, findings: Mapping[str, Finding], table: Expectations) -> Array:
    """What rules add that rest on circumstances alone, or on two findings or more, slips allowed for."""
    base = reasoning.circuit.base
    weights = np.ones(len(reasoning.circuit.faults) + 1)
    for rule, supports in reasoning.rested:
        if not supports or any(len(support) == 1 for support in supports):
            continue
        sure = 1 - base.setting("slip-circumstance")
        for name in supports[0]:
            sure *= 1 - findings[name].slip
        for effect in rule.effects:
            columns = [table.columns[fault] for fault in effect.faults]
            weights[columns] *= sure * ratio(base, effect) + (1 - sure)
    return weights


def _row(base: Base, question: str, outcome: str) -> int:
    return list(base.questions[question].outcomes).index(outcome)


def _usual(base: Base, question: str, outcome: str) -> float:
    return float(usual(base, question)[_row(base, question, outcome)])
