"""What must not be measured: finds the reason when someone asks for it or gives it all the same."""

from __future__ import annotations

import re

from engine.base import Base


def refusal(base: Base, said: str) -> str:
    """Why what is spoken of must not be measured; nothing when it is none of that."""
    text = f" {_words(said)} "
    for name, entry in base.never.items():
        if any(f" {_words(known)} " in text for known in (name, entry.name, *entry.known_as)):
            return f"{entry.name[:1].upper()}{entry.name[1:]} is never measured. {entry.say}"
    return ""


def _words(text: str) -> str:
    return " ".join(re.findall(r"[a-z]+", text.casefold()))
