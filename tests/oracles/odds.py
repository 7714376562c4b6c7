"""Expectations and odds straight from their definition, over the brute-force firings, in plain numbers."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping

from engine.base import Base
from engine.belief import Finding
from engine.grounding import Circuit, GroundRule
from tests.oracles import brute

UNKNOWN = "unknown"
Table = dict[str, dict[str, float]]  # outcome -> fault -> probability


def ratio(base: Base, kind: str, strength: str) -> float:
    """What an effect does to the odds of its faults."""
    figure = {"excludes": 0.0, "proves": base.setting("proof")}.get(kind)
    if figure is None:
        figure = base.setting(strength) if kind == "raises" else 1 / base.setting(strength)
    return figure


def usual(base: Base, question: str) -> dict[str, float]:
    """b(o): as given, those not given sharing what is left; together one."""
    outcomes = base.questions[question].outcomes
    given = {name: one.usual for name, one in outcomes.items() if one.usual is not None}
    open_ = [name for name in outcomes if name not in given]
    shares = {name: given.get(name, (1 - sum(given.values())) / max(1, len(open_))) for name in outcomes}
    return {name: share / sum(shares.values()) for name, share in shares.items()}


def resting_on(
    circuit: Circuit, findings: Mapping[str, str], circumstances: Collection[str]
) -> dict[int, set[frozenset[str]]]:
    """For each rule that fires, by number, the smallest sets of findings it rests on, whichever facts it matched."""
    sets: dict[int, set[frozenset[str]]] = {}
    for (number, _), found in brute.supports(circuit.rules, findings, circumstances).items():
        sets.setdefault(number, set()).update(found)
    return {number: {one for one in found if not any(o < one for o in found)} for number, found in sets.items()}


def factor(base: Base, rules: Collection[GroundRule], fault: str) -> float:
    """w: the product of the strengths of these rules for a fault."""
    effects = [effect for rule in rules for effect in rule.effects if fault in effect.faults]
    return math.prod(ratio(base, effect.kind, effect.strength) for effect in effects)


def table(circuit: Circuit, question: str, circumstances: Mapping[str, str]) -> Table:
    """P(o | f) = b(o) w(o, f) / sum; where no outcome is possible, b. The unknown sees b."""
    base, shares = circuit.base, usual(circuit.base, question)
    raw: Table = {}
    for outcome, share in shares.items():
        sets = resting_on(circuit, {**circumstances, question: outcome}, circumstances)
        alone = [circuit.rules[number] for number, found in sets.items() if frozenset({question}) in found]
        raw[outcome] = {fault: share * factor(base, alone, fault) for fault in circuit.faults}
        raw[outcome][UNKNOWN] = share
    sums = {fault: sum(row[fault] for row in raw.values()) for fault in (*circuit.faults, UNKNOWN)}
    return {
        outcome: {fault: value / sums[fault] if sums[fault] else shares[outcome] for fault, value in row.items()}
        for outcome, row in raw.items()
    }


def slipping(circuit: Circuit, question: str, circumstances: Mapping[str, str], slip: float) -> Table:
    """P'(o | f) = (1 - slip) P + slip b."""
    shares = usual(circuit.base, question)
    rows = table(circuit, question, circumstances)
    return {
        outcome: {fault: (1 - slip) * value + slip * shares[outcome] for fault, value in row.items()}
        for outcome, row in rows.items()
    }


def prior(circuit: Circuit, complaint: str | None) -> dict[str, float]:
    """The frequencies of the complaint, none below the stray one, as shares beside that of the unknown."""
    base = circuit.base
    stray, unknown = base.setting("stray-frequency"), base.setting("unknown-share")
    listed = base.technologies[circuit.technology or ""].frequencies
    raw = {}
    for fault in circuit.faults:
        column = listed[fault]
        mean = sum(column.values()) / len(column)
        raw[fault] = max(stray, mean if complaint is None else column.get(complaint, column.get("any", 0)))
    return {**{fault: (1 - unknown) * value / sum(raw.values()) for fault, value in raw.items()}, UNKNOWN: unknown}


def together(circuit: Circuit, told: Mapping[str, str], findings: Mapping[str, Finding]) -> dict[str, float]:
    """What the rules add that rest on circumstances alone or need two findings or more, slips of those allowed for."""
    base = circuit.base
    weights = dict.fromkeys((*circuit.faults, UNKNOWN), 1.0)
    circumstances = [name for name in told if name not in findings]
    for number, sets in resting_on(circuit, told, circumstances).items():
        if any(len(found) == 1 for found in sets):
            continue
        first = min(sets, key=lambda found: (len(found), sorted(found)))
        sure = (1 - base.setting("slip-circumstance")) * math.prod(1 - findings[name].slip for name in first)
        for effect in circuit.rules[number].effects:
            for fault in effect.faults:
                weights[fault] *= sure * ratio(base, effect.kind, effect.strength) + (1 - sure)
    return weights


def posterior(
    circuit: Circuit, told: Mapping[str, str], findings: Mapping[str, Finding], complaint: str | None
) -> dict[str, float]:
    """The odds after all answers, multiplied out."""
    odds, weights = prior(circuit, complaint), together(circuit, told, findings)
    circumstances = {name: value for name, value in told.items() if name not in findings}
    for fault in odds:
        odds[fault] *= weights[fault]
    for question, found in findings.items():
        row = slipping(circuit, question, circumstances, found.slip)[found.outcome]
        odds = {fault: share * row[fault] for fault, share in odds.items()}
    return {fault: share / sum(odds.values()) for fault, share in odds.items()}
