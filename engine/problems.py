"""What is wrong with a knowledge base, and where: values that any front end can render."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple


class Place(NamedTuple):
    """A position in a file; line and column count from one."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, order=True)
class Problem:
    """One thing that is wrong or doubtful: where, how bad, a stable code, and a sentence with the likely mend."""

    place: Place
    severity: str
    code: str
    message: str

    def __str__(self) -> str:
        return f"{self.place}: {self.severity}[{self.code}] {self.message}"


class Trouble(Exception):
    """Stops the program with a sentence that tells the person what to do; front ends print it and leave."""


class KnowledgeError(Trouble):
    """The knowledge base cannot be used; carries every problem that was found in one run."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        super().__init__("\n".join(map(str, self.problems)))

    def __reduce__(self) -> tuple[type[KnowledgeError], tuple[tuple[Problem, ...]]]:
        """A worker process hands the problems on, not their text taken for a list of them."""
        return type(self), (self.problems,)


def error(place: Place, code: str, message: str) -> Problem:
    """A problem that keeps the knowledge base from being used."""
    return Problem(place, "error", code, message)


def nearest(word: str, allowed: Iterable[str]) -> str:
    """A clause naming the closest allowed word, or the allowed words when they are few; empty if neither helps."""
    words = sorted(set(allowed))
    close = difflib.get_close_matches(word, words, n=1, cutoff=0.6)
    if close:
        return f'; did you mean "{close[0]}"?'
    if 0 < len(words) <= 12:
        return "; allowed: " + ", ".join(words)
    return ""
