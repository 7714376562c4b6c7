"""Reads a price or minutes that the person sets in place of the shipped figure."""

from __future__ import annotations

import re

from engine.costs import MINUTES_OF_OWN, PRICES_OF_OWN
from engine.events import Priced
from engine.session import Session
from engine.wording import in_words
from shell.names import Refusal, pick

HIGHEST = 100_000


def choices(session: Session, word: str) -> dict[str, str]:
    """What can be set with `price` or with `minutes`, with its name."""
    base = session.base
    if word == "price":
        parts = {name: entry.name for name, entry in base.repairs.items() if entry.part is not None}
        return {name: in_words(name) for name in PRICES_OF_OWN} | parts
    states = {name: entry.name for name, entry in base.access.items()}
    return {name: in_words(name) for name in MINUTES_OF_OWN} | states


def read(session: Session, word: str, rest: str) -> Priced | Refusal:
    """The event that a line such as `price hour 55` or `minutes lamp out 45` stands for."""
    example = f"as in `{word} {next(iter(choices(session, word)))} 45`"
    words = rest.split()
    if len(words) < 2:
        return Refusal(f"Say what it is for and the figure, {example}")
    figure = words[-1].replace(",", ".")
    if not re.fullmatch(r"\d{1,6}(\.\d{1,4})?", figure) or float(figure) > HIGHEST:
        return Refusal(f'"{words[-1][:20]}" is no figure from 0 to {HIGHEST:,}; say it last, {example}')
    found = pick(" ".join(words[:-1]), choices(session, word), f"something with {word} of its own")
    if isinstance(found, Refusal):
        return found
    if found in session.base.settings:
        return Priced("settings", found, float(figure))
    return Priced("parts" if word == "price" else "access", found, float(figure))
