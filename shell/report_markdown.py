"""A written report as Markdown; whatever a person or a file said stays plain text in it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import singledispatch

from shell.output import clean
from shell.sections import Items, Pairs, Paper, Para, Picture, Table

_ACTIVE = re.compile(r"[\\`*_\[\]|~]|<(?=[A-Za-z/!?])|&(?=[#A-Za-z])|(?<=\w)@|:(?=//)|(?<=\bwww)\.", re.IGNORECASE)
_OPENING = re.compile(r"^(?:[#>+=-]|(\d{1,9})[.)](?=\s|$))")


def inline(text: str) -> str:
    """A text for the midst of a line, in which nothing is markup, a link or HTML."""
    return _ACTIVE.sub(lambda found: f"\\{found[0]}", " ".join(clean(text).split()))


def plain(text: str) -> str:
    """A text for a line of its own, in which nothing is markup, and which begins no list, heading or quotation."""
    told = inline(text)
    opening = _OPENING.match(told)
    return told if opening is None else f"{opening[1] or ''}\\{told[len(opening[1] or '') :]}"


def markdown(paper: Paper) -> str:
    """The report as Markdown."""
    parts = [f"# {plain(paper.title)}"]
    parts += [f"**{plain(paper.label)}**"] if paper.label else []
    parts += [plain(line) for line in paper.under]
    for section in paper.sections:
        parts.append(f"## {plain(section.title)}")
        parts += [_block(one) for one in section.blocks]
    return "\n\n".join(parts)


@singledispatch
def _block(block: object) -> str:
    raise TypeError(block)


@_block.register
def _para(block: Para) -> str:
    text = plain(block.text)
    return f"**{text}**" if block.look in ("strong", "warn") and text else text


@_block.register
def _items(block: Items) -> str:
    return _list((plain(text) for text in block.texts), block.numbered)


def _list(texts: Iterable[str], numbered: bool = False) -> str:
    return "\n".join(f"{number}. {text}" if numbered else f"- {text}" for number, text in enumerate(texts, 1))


@_block.register
def _pairs(block: Pairs) -> str:
    lines = []
    for pair in block.pairs:
        lines.append(f"- **{inline(pair.term)}**{': ' if pair.text else ''}{inline(pair.text)}")
        lines += [f"  - {plain(note)}" for note in pair.notes]
    return "\n".join(lines)


@_block.register
def _table(block: Table) -> str:
    rows = [block.head, tuple("---" for _ in block.head), *block.rows]
    cells = ([cell if index == 1 else inline(cell) for cell in one] for index, one in enumerate(rows))
    return "\n".join(f"| {' | '.join(one)} |" for one in cells)


@_block.register
def _picture(block: Picture) -> str:
    return f"{plain(block.caption)}:\n\n{_block(block.words)}"
