"""How each kind of text looks: weight and underline first, few colours, to read well on light screens and dark."""

from __future__ import annotations

from typing import NamedTuple


class Look(NamedTuple):
    """A look: the code that switches it on in plain terminal output, and its words for a line editor's style."""

    code: str
    words: str


# Nothing rests on colour alone: each of these texts also says in words what it is.
LOOKS = {
    "title": Look("1", "bold"),
    "strong": Look("1", "bold"),
    "key": Look("4", "underline"),
    "faint": Look("2", ""),
    "warn": Look("1;31", "bold ansired"),
    "good": Look("32", "ansigreen"),
}
