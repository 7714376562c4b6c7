"""What tests and repairs cost: minutes, access opened once, parts and the value of an hour."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from engine import schema
from engine.base import Base

Opened = frozenset[str]
PRICES_OF_OWN = ("hour-value", "referral-price")  # the settings in money, and in minutes, that are a person's own
BEFORE = 2  # answers taken to have come before any was asked for: one that is missing tells little
MINUTES_OF_OWN = ("attempt-minutes",)


@dataclass(frozen=True)
class Prices:
    """What the user has set over the shipped figures: settings, minutes of access, prices of repairs' parts."""

    settings: Mapping[str, float] = field(default_factory=dict)
    access: Mapping[str, float] = field(default_factory=dict)
    parts: Mapping[str, float] = field(default_factory=dict)

    def setting(self, base: Base, name: str) -> float:
        """A setting as set by the user, or as shipped."""
        return self.settings.get(name, base.setting(name))

    def covered(self, base: Base) -> Prices:
        """The same where somebody else has to mend the lamp at no charge: handing it on costs but the way there."""
        price = min(self.setting(base, "referral-covered"), self.setting(base, "referral-price"))
        return replace(self, settings={**self.settings, "referral-price": price})

    def per_answer(self, base: Base, asked: Sequence[str | None]) -> Prices:
        """The same for somebody who answered so, None for cannot tell: the more questions it takes for an answer, the
        more each costs.
        """
        answered = sum(outcome is not None for outcome in asked)
        if answered == len(asked):
            return self
        share = self.setting(base, "looking-share") * (len(asked) + BEFORE) / (answered + BEFORE)
        return replace(self, settings={**self.settings, "looking-share": share})

    def minute(self, base: Base) -> float:
        """What a minute is worth."""
        return self.setting(base, "hour-value") / 60


@lru_cache(maxsize=512)
def way(base: Base, state: str | None) -> tuple[str, ...]:
    """The states to go through to reach a state of access, outermost first."""
    found: list[str] = []
    while state is not None and state not in found:
        found.insert(0, state)
        state = base.access[state].within
    return tuple(found)


def access_minutes(base: Base, prices: Prices, state: str | None, opened: Opened) -> float:
    """Minutes to reach a state from what is open already."""
    return sum(prices.access.get(one, base.access[one].minutes) for one in way(base, state) if one not in opened)


@lru_cache(maxsize=4096)
def open_up(base: Base, state: str | None, opened: Opened) -> Opened:
    """What is open after a state has been reached."""
    return opened.union(way(base, state))


def way_is_open(base: Base, question: str, opened: Opened) -> bool:
    """Whether nothing more has to be opened for a question."""
    return opened.issuperset(way(base, base.questions[question].access))


def question_minutes(base: Base, prices: Prices, question: str, opened: Opened) -> float:
    """Minutes a question takes, access included."""
    entry = base.questions[question]
    return entry.minutes + access_minutes(base, prices, entry.access, opened)


def question_cost(base: Base, prices: Prices, question: str, opened: Opened) -> float:
    """What a question costs in money, its minutes and the attention it takes included."""
    entry = base.questions[question]
    looking = (entry.minutes + prices.setting(base, "asking-minutes")) * prices.setting(base, "looking-share")
    minutes = looking + access_minutes(base, prices, entry.access, opened)
    return entry.price + minutes * prices.minute(base)


def part_price(part: schema.Part | None) -> float:
    """The middle of the first price band that is given, new before used before aftermarket; 0 with no part."""
    bands = (part.new, part.used, part.aftermarket) if part else ()
    return next((sum(band) / 2 for band in bands if band is not None), 0.0)


def repair_cost(base: Base, prices: Prices, repairs: Iterable[str], opened: Opened) -> float:
    """What trying a repair costs: part, minutes, access, and the minutes lost on getting it."""
    total, minutes, buys = 0.0, 0.0, False
    for name in repairs:
        repair = base.repairs[name]
        total += prices.parts.get(name, part_price(repair.part))
        minutes += repair.minutes + access_minutes(base, prices, repair.access, opened)
        opened = open_up(base, repair.access, opened)
        buys = buys or repair.part is not None
    if buys:
        minutes += prices.setting(base, "attempt-minutes")
    return total + minutes * prices.minute(base)
