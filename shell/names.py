"""Finds the thing a person means by an id, the start of one, or words of its name."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from engine.problems import nearest

SHOWN = 6  # so many candidates are named in a refusal


@dataclass(frozen=True)
class Refusal:
    """Why a line cannot be used, and what is accepted, in one sentence."""

    message: str


def pick(said: str, names: Mapping[str, str], what: str) -> str | Refusal:
    """The id that is meant, of those given with their names; `what` says what they are, as in `a fault`."""
    word = " ".join(said.casefold().split())
    if word in names:
        return word
    starts = [name for name in names if name.startswith(word)] if word else []
    if len(starts) == 1:
        return starts[0]
    found = starts or match_words(word, names)
    if len(found) == 1:
        return found[0]
    if found:
        return Refusal(f'"{said}" could be {listed(_both(name, names[name]) for name in found)}. Say more of it')
    close = nearest(word, names)
    hint = close[2:] if close.startswith("; did you") else f"For instance {listed(names)}" if names else ""
    return Refusal(f'"{said}" is not {what} here. {hint[:1].upper()}{hint[1:]}'.strip())


def match_words(said: str, names: Mapping[str, str]) -> list[str]:
    """The ids of those whose id or name has, for each word said, a word that starts with it."""
    wanted = _words(said)
    exact = [name for name, words in names.items() if wanted and _words(words) == wanted]
    if exact:
        return exact
    return [name for name, words in names.items() if wanted and _starts(wanted, _words(f"{name} {words}"))]


def listed(names: Iterable[str]) -> str:
    """Some names in a row, and how many more there are."""
    found = list(names)
    more = f" and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    return ", ".join(found[:SHOWN]) + more


def _both(name: str, words: str) -> str:
    same = name.replace("-", " ") == words
    return name if same else f"{name} ({words})"


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", text.casefold())


def _starts(wanted: list[str], words: list[str]) -> bool:
    return all(any(word.startswith(one) for word in words) for one in wanted)
