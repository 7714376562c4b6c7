"""What the tests saved or cost, in words: what was spent, set against replacing parts in order."""

from __future__ import annotations

from engine.spending import Spend
from shell.words import money

SAME = 0.5  # u; less than this is no difference worth a word


def spent_words(found: Spend) -> str:
    """What a cured job has cost, and how much of it was in vain."""
    vain = f" ({money(found.in_vain)} of it in vain)" if found.in_vain else ""
    total = money(found.money + found.repairs)
    return f"Spent: {total}; tests {money(found.money)} and repairs {money(found.repairs)}{vain}, your time included."


def order_words(found: Spend) -> str:
    """What replacing parts in order would have cost on the same car, and the difference; nothing before it works."""
    if found.in_order is None or found.saved is None:
        return ""
    until = "until it was cheaper to hand the job on" if found.handed_on else "until the same was mended"
    text = f"Replacing parts in order of chance for their price, without tests, {until}: {money(found.in_order)}."
    return f"{text} {difference(found.saved)}"


def difference(saved: float) -> str:
    """A saving or a loss, said as such."""
    if abs(saved) < SAME:
        return "Testing came to the same."
    return f"Testing saved {money(saved)}." if saved > 0 else f"This time testing cost {money(-saved)} more."
