"""Figures as a person says them: shares, minutes, money, odds."""

from __future__ import annotations

from collections.abc import Iterable

_LIKELY = (
    (0.95, "nearly certain"),
    (0.75, "very likely"),
    (0.5, "more likely than not"),
    (0.25, "a fair chance"),
    (0.1, "possible"),
    (0.02, "unlikely"),
    (0.0, "very unlikely"),
)


def percent(share: float) -> str:
    """A share of one in per cent; never 0 or 100, which nobody can know."""
    if share < 0.005:
        return "<1 %"
    return ">99 %" if share > 0.995 else f"{share * 100:.0f} %"


def likely(share: float) -> str:
    """A share of one in plain words."""
    return next(words for least, words in _LIKELY if share >= least)


def minutes(count: float) -> str:
    """A time given in minutes."""
    if count < 1:
        return "under a minute"
    if count < 90:
        return f"{count:.0f} min"
    return f"{int(count) // 60} h {int(count) % 60:02d} min"


def money(amount: float) -> str:
    """An amount in the neutral unit of the base's prices."""
    return f"{amount:.0f} u" if abs(amount) >= 9.5 or amount == 0 else f"{amount:.1f} u"


def factor(value: float) -> str:
    """What an answer did to a suspect, against all the others together."""
    if 0.9 <= value <= 1.1:
        return "changes little"
    side = "for" if value > 1 else "against"
    times = value if value > 1 else 1 / max(value, 1e-9)
    strong = "over 100" if times > 100 else f"{times:.0f}" if times >= 3 else f"{times:.1f}"
    return f"speaks {side} it, {strong} to 1"


def few(names: Iterable[str], most: int = 3) -> str:
    """Some names in a sentence, and how many more there are."""
    found = list(names)
    if len(found) > most:
        return f"{', '.join(found[:most])} and {len(found) - most} more"
    return ", ".join(found)


def capital(text: str) -> str:
    """A text that starts with a capital."""
    return f"{text[:1].upper()}{text[1:]}"


def sentence(text: str) -> str:
    """A text that starts with a capital and ends with a full stop."""
    text = text.strip()
    return capital(text) + ("" if text.endswith((".", "?", "!", ":")) else ".")
