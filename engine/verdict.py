"""Where the answers leave things: proved, likely, open, normal, elsewhere, unknown, a clash, or stopped for safety."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from engine.base import Base
from engine.belief import Belief
from engine.clash import Clash
from engine.costs import Opened, Prices, repair_cost
from engine.expectations import expectations
from engine.planning import ONES_OWN, repair_left
from engine.reasoning import Firing, Reasoning
from engine.schema import VerdictKind

Kind: TypeAlias = VerdictKind
Certainty: TypeAlias = Literal["proved", "likely", "open"]
TEMPTING = 0.05  # a share of the prior from which people are tempted to buy the part
LONG_SHOT = 0.1  # a share below which no repair comes before that of the leading faults
CLEARED = 0.03  # a share up to which a repair is not worth a line, and its part is not to be bought


@dataclass(frozen=True)
class Action:
    """A repair, the faults it would cure, their share of the odds, and what trying it costs."""

    repairs: tuple[str, ...]
    faults: tuple[str, ...]
    share: float
    cost: float


@dataclass(frozen=True)
class Verdict:
    """The end, or the state of the search so far when it is not final.

    `certainty` is told whatever the kind; `faults` are the leading ones, `share` theirs together.
    `causes` are of what broke: none where nothing did.
    `actions` come in the order in which to act; after the first `tries` of them it is cheaper to hand the job on.
    `stopped_by` are the firings that ended the search.
    `settled`: proved, and no fault that comes on top of the proved one is worth looking for.
    """

    kind: Kind
    certainty: Certainty
    faults: tuple[str, ...]
    share: float
    settled: bool
    actions: tuple[Action, ...]
    tries: int
    not_to_buy: tuple[str, ...]
    causes: tuple[str, ...]
    cautions: tuple[str, ...]
    clash: Clash | None
    stopped_by: tuple[Firing, ...]
    against_logic: bool


def worth_trying(actions: tuple[Action, ...], referral: float) -> int:
    """After how many of the repairs handing the job on is expected to cost least.

    `referral`, in u, is its price beside the repair that cures; what is lost before are repairs done in vain.
    """
    best, cheapest, left, lost = 0, referral, 1.0, 0.0
    for number, action in enumerate(actions, 1):
        left -= action.share
        lost += left * action.cost
        if lost + left * referral < cheapest:
            best, cheapest = number, lost + left * referral
    return best


def _own(base: Base, actions: tuple[Action, ...]) -> tuple[Action, ...]:
    """The first actions of which each leaves things as they are, or sets them right."""

    def mends(one: Action) -> bool:
        return any(base.faults[fault].kind not in ONES_OWN for fault in one.faults)

    return actions[: next((number for number, one in enumerate(actions) if mends(one)), len(actions))]


def stops(reasoning: Reasoning) -> tuple[Firing, ...]:
    """The firings that end the search for safety."""
    return tuple(firing for firing in reasoning.firings if reasoning.circuit.base.rules[firing.rule.id].stops)


def judge(
    reasoning: Reasoning,
    belief: Belief,
    prices: Prices,
    opened: Opened,
    clash: Clash | None,
    done: frozenset[str] = frozenset(),
    wanted: frozenset[str] = frozenset(),
    covered: bool = False,
) -> Verdict:
    """The verdict on a belief; never more certain than rules and odds both bear.

    `done` are repairs done in vain, `wanted` those that the other complaint calls for. `covered`
    says that somebody else mends at no charge: then only what is normal or a setting is one's own to put right.
    """
    base = reasoning.circuit.base
    stopped = stops(reasoning)
    leaders, certainty, share = _leaders(reasoning, belief, prices, done)
    against = bool(leaders) and all(fault in reasoning.exclusions for fault in leaders)
    kind: Kind = certainty
    if stopped:
        kind = "stopped"
    elif clash is not None:
        kind = "clash"
    elif leaders and belief.unknown >= prices.setting(base, "unknown-verdict") and certainty != "proved":
        kind = "unknown"
    elif certainty != "open" and leaders:
        special = {base.faults[fault].kind for fault in leaders} & {"normal", "elsewhere"}
        if len(special) == 1 and all(base.faults[fault].kind in special for fault in leaders):
            kind = "normal" if "normal" in special else "elsewhere"
    causes, cautions = _advice(reasoning, stopped)
    wanted = wanted.union(*(base.causes[cause].repair for cause in causes))
    actions = _in_order(base, _actions(belief, prices, opened, done), leaders, certainty != "open")
    return Verdict(
        kind=kind,
        certainty=certainty,
        faults=leaders,
        share=share,
        settled=certainty == "proved" and sum(map(belief.share, leaders)) >= prices.setting(base, "proved-share"),
        actions=actions,
        tries=worth_trying(_own(base, actions) if covered else actions, prices.setting(base, "referral-price")),
        not_to_buy=_not_to_buy(reasoning, belief, wanted),
        causes=() if kind == "normal" else causes,
        cautions=cautions,
        clash=clash,
        stopped_by=stopped,
        against_logic=against,
    )


def _with_pairs(belief: Belief, faults: Iterable[str]) -> float:
    """The share of the faults, and of those double faults of which they are part."""
    base = belief.circuit.base
    wanted = set(faults)
    return sum(
        share for fault, share in belief.ranking() if fault in wanted or wanted.intersection(base.faults[fault].both)
    )


def _leaders(
    reasoning: Reasoning, belief: Belief, prices: Prices, done: frozenset[str]
) -> tuple[tuple[str, ...], Certainty, float]:
    """The leading faults, how certain they are, and their share."""
    base = reasoning.circuit.base
    if not belief.circuit.faults:
        return (), "open", 0.0
    proved_share, likely_share = prices.setting(base, "proved-share"), prices.setting(base, "likely-share")
    shown = tuple(fault for fault in reasoning.proofs if fault not in reasoning.exclusions and _shown(reasoning, fault))
    kept = tuple(fault for fault, share in belief.ranking() if fault in shown and share >= CLEARED)
    if kept and _with_pairs(belief, kept) >= proved_share:
        return kept, "proved", _with_pairs(belief, kept)
    first = repair_left(base, belief.ranking()[0][0], done)
    group = tuple(fault for fault, _ in belief.ranking() if repair_left(base, fault, done) == first)
    share = sum(belief.share(fault) for fault in group)
    named = tuple(fault for fault in group if belief.share(fault) >= share / 10)
    if share >= proved_share and _alone(reasoning, group):
        return named, "proved", share
    return named, "likely" if share >= likely_share else "open", share


def _shown(reasoning: Reasoning, fault: str) -> bool:
    """Whether each fault of two at once has been proved by itself."""
    return all(one in reasoning.proofs for one in reasoning.circuit.base.faults[fault].both)


def _alone(reasoning: Reasoning, group: tuple[str, ...]) -> bool:
    """Whether sound rules exclude every fault outside the group, and not the group itself."""
    others = [fault for fault in reasoning.circuit.faults if fault not in group]
    left = [fault for fault in group if fault not in reasoning.exclusions]
    return bool(left) and all(fault in reasoning.exclusions for fault in others)


def _actions(belief: Belief, prices: Prices, opened: Opened, done: frozenset[str]) -> tuple[Action, ...]:
    base = belief.circuit.base
    curing: dict[tuple[str, ...], list[tuple[str, float]]] = {}
    for fault, share in belief.ranking():
        curing.setdefault(repair_left(base, fault, done), []).append((fault, share))
    found = []
    for repairs, cured in curing.items():
        faults, total = tuple(fault for fault, _ in cured), sum(share for _, share in cured)
        found.append(Action(repairs, faults, total, repair_cost(base, prices, repairs, opened)))
    return tuple(sorted(found, key=lambda action: (-action.share / max(action.cost, 0.01), action.repairs)))


def _in_order(base: Base, actions: tuple[Action, ...], leaders: tuple[str, ...], called: bool) -> tuple[Action, ...]:
    """The same with long shots moved behind the repair of the leading faults, however cheap they are.

    Where no fault is called, those are only the repairs that leave things as they are.
    """
    first = next((number for number, one in enumerate(actions) if set(leaders) & set(one.faults)), 0)
    before, rest = actions[:first], actions[first:]

    def worth(one: Action) -> bool:
        mends = any(base.faults[fault].kind != "normal" for fault in one.faults)
        return one.share >= LONG_SHOT or (mends and not called)

    return (*filter(worth, before), *rest[:1], *(one for one in before if not worth(one)), *rest[1:])


def _not_to_buy(reasoning: Reasoning, belief: Belief, wanted: frozenset[str]) -> tuple[str, ...]:
    """Parts that people are tempted to buy for this complaint and that the answers have cleared.

    None that may be at fault for a second complaint, and none of the `wanted` repairs.
    """
    base, circuit = belief.circuit.base, belief.circuit
    complaint = reasoning.findings.get(base.roles.complaint)
    second = reasoning.findings.get(base.roles.second or "", "")
    tempting = np.array(circuit.prior(complaint))
    table = expectations(circuit)
    # By repair, not by fault: what mends two faults at once tempts nobody to buy each half alone.
    cures: dict[str, list[str]] = {}
    for fault in circuit.faults:
        for name in base.faults[fault].repair:
            cures.setdefault(name, []).append(fault)
    found = []
    for name, faults in cures.items():
        if name in wanted or any(circuit.shows(fault, second) for fault in faults):
            continue
        before = sum(tempting[table.columns[fault]] for fault in faults)
        after = sum(belief.share(fault) for fault in faults)
        if base.repairs[name].part is not None and before >= TEMPTING and after <= CLEARED:
            found.append(name)
    return tuple(found)


def _advice(reasoning: Reasoning, stopped: tuple[Firing, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Causes to look at, and cautions to give: of what stops the search first, then as rules brought them up."""
    base = reasoning.circuit.base
    stops = [name for firing in stopped for name in base.rules[firing.rule.id].stops]
    cautions = (name for name in reasoning.advice if name not in base.causes)
    causes = tuple(name for name in reasoning.advice if name in base.causes)
    return causes, tuple(dict.fromkeys((*stops, *cautions)))
