"""What to buy and what it costs to act: offers with prices, what fits in place of what, acting against testing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from engine.base import Base
from engine.costs import Prices
from engine.replacement import may_replace
from engine.session import Session
from engine.tables import LightSource

KINDS = ("new", "used", "aftermarket")


@dataclass(frozen=True)
class Band:
    """A price band, in u."""

    kind: str
    low: float
    high: float


@dataclass(frozen=True)
class Offer:
    """A part to buy: what to ask for, its bands, or the person's own `quote` in their place."""

    repair: str
    ask_for: str
    bands: tuple[Band, ...]
    quote: float | None
    pair: str
    never: str


@dataclass(frozen=True)
class Fitting:
    """What may and what must not go in place of a category: each with the reasons."""

    category: str
    fits: tuple[tuple[str, str], ...]
    never: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class NotBought:
    """A part that people are tempted to buy, and why not to: a rule's reason, if any, and the share it would cure."""

    name: str
    because: str
    share: float


@dataclass(frozen=True)
class Ways:
    """Three ways to go on, each with its expected cost in u.

    `now`: the likeliest repair alone, with its `chance` from 0 to 1 to cure, the job handed on if it does not.
    `in_order`: one repair after another, handed on when that is cheaper. `testing`: the best next test first, which is
    `question`; None when no test is worth its cost.
    """

    now: float
    chance: float
    in_order: float
    testing: float | None
    question: str


def offers(base: Base, prices: Prices, repairs: Iterable[str]) -> tuple[Offer, ...]:
    """The parts that repairs need."""
    found = []
    for name in repairs:
        part = base.repairs[name].part
        if part is None:
            continue
        given = ((kind, getattr(part, kind)) for kind in KINDS)
        bands = tuple(Band(kind, *band) for kind, band in given if band is not None)
        quote = prices.parts.get(name)
        found.append(Offer(name, part.ask_for, bands, quote, part.pair or "", part.never or ""))
    return tuple(found)


def fitting(category: str, sources: Mapping[str, LightSource]) -> Fitting:
    """What fits in place of a category of the table, and what is mistaken for it. ValueError if it has no row."""
    if category not in sources:
        raise ValueError(f"{category} is not in the table of light sources")
    row = sources[category]
    fits, never = [(category, "the same category")], []
    for name in sources:
        verdict = may_replace(category, name, sources)
        if name != category and verdict.may:
            fits.append((name, verdict.reasons[0]))
        elif name in row.never or (not verdict.may and sources[name].cap == row.cap):
            never.append((name, "; ".join(verdict.reasons)))
    return Fitting(category, tuple(fits), tuple(never))


def not_bought(session: Session, repair: str) -> NotBought:
    """Why the part of a repair is not to be bought."""
    base, exclusions = session.base, session.reasoning.exclusions
    faults = [fault for fault in session.circuit.faults if repair in base.faults[fault].repair]
    alone = [fault for fault in faults if not base.faults[fault].both]  # why two at once are out says little of each
    firing = next((exclusions[fault][0] for fault in alone or faults if fault in exclusions), None)
    because = base.rules[firing.rule.id].because if firing else ""
    return NotBought(base.repairs[repair].name, because, sum(map(session.belief.share, faults)))


def ways(session: Session) -> Ways | None:
    """What acting now, acting in order and testing first are expected to cost; None before there are suspects."""
    actions = session.verdict.actions
    if not actions:
        return None
    likeliest = max(actions, key=lambda action: action.share)
    referral = session.rates.setting(session.base, "referral-price")
    now = likeliest.cost + (1 - likeliest.share) * referral
    best = session.plan.best
    testing = best.value if best else None
    return Ways(now, likeliest.share, session.plan.act_now, testing, best.question if best else "")
