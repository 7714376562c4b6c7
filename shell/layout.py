"""Text set in rows of a given width: paragraphs with a hanging indent, tables of two columns, bars."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from typing import TypeAlias

from shell.style import LOOKS

Fragment: TypeAlias = tuple[str, str]
Row: TypeAlias = tuple[Fragment, ...]
Rows: TypeAlias = list[Row]

NARROWEST, WIDEST = 40, 100
BLANK: Row = ()


def fit(columns: int) -> int:
    """The width to set text in on a screen of so many columns."""
    return max(NARROWEST, min(WIDEST, columns))


def row(*fragments: Fragment | str) -> Row:
    """A row of fragments; a bare string has the look of ordinary text."""
    found = tuple(("", one) if isinstance(one, str) else one for one in fragments)
    for look, _ in found:
        if look and look not in LOOKS:
            raise ValueError(f"there is no look {look!r}")
    return found


def wrap(text: str, width: int) -> list[str]:
    """A text in lines no longer than the width; spaces and line ends in it count as one space."""
    return textwrap.wrap(" ".join(text.split()), max(width, 8), break_on_hyphens=False) or [""]


def para(text: str, width: int, look: str = "", lead: str = "", lead_look: str = "", indent: int = 0) -> Rows:
    """A paragraph: `lead` stands before its first line, the others are indented to the same column."""
    space = " " * indent
    lines = wrap(text, width - indent - len(lead))
    first = row(space, (lead_look, lead), (look, lines[0]))
    return [first, *(row(space + " " * len(lead), (look, line)) for line in lines[1:])]


def run_in(number: str, head: str, text: str, width: int, indent: int = 2, look: str = "strong") -> Rows:
    """A paragraph that begins with a word that stands out, after a number that hangs to the left."""
    lines = wrap(f"{head}: {text}", width - indent - len(number))
    cut = min(len(head) + 1, len(lines[0]))
    first = row(" " * indent, (look, number + lines[0][:cut]), lines[0][cut:])
    return [first, *(row(" " * (indent + len(number)), line) for line in lines[1:])]


def heading(text: str, width: int, aside: str = "") -> Rows:
    """A heading with a word at the right edge, where there is room for it."""
    lines = wrap(text, width)
    gap = width - len(lines[-1]) - len(aside)
    rows = [row(("title", line)) for line in lines]
    if aside and gap >= 2:
        rows[-1] = row(("title", lines[-1]), " " * gap, ("faint", aside))
    elif aside:
        rows.append(row(("faint", aside)))
    return rows


def bullets(texts: Iterable[str], width: int, indent: int = 2, look: str = "") -> Rows:
    """A list with a mark before each text."""
    return [one for text in texts for one in para(text, width, look, "- ", "", indent)]


def numbered(texts: Sequence[str], width: int, indent: int = 2) -> Rows:
    """A list with a number before each text."""
    size = len(str(len(texts)))
    return [
        one
        for number, text in enumerate(texts, 1)
        for one in para(text, width, "", f"{number:>{size}}. ", "strong", indent)
    ]


def labelled(label: str, texts: Iterable[str], width: int, look: str = "", size: int = 6) -> Rows:
    """Paragraphs with one label in the margin, before the first of them."""
    rows: Rows = []
    for text in texts:
        lead = f"{label if not rows else '':<{size}} "
        rows.extend(para(text, width, look, lead, "warn" if look == "warn" else "strong", 2))
    return rows


def bar(share: float, size: int = 16) -> str:
    """A share of one as a bar of plain characters; anything above nothing shows."""
    full = round(share * size)
    return ("=" * max(full, 1 if share >= 0.005 else 0)).ljust(size, ".")


def text_of(rows: Iterable[Row]) -> list[str]:
    """The rows without their looks."""
    return ["".join(text for _, text in one).rstrip() for one in rows]
