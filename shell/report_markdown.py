"""A written report as Markdown; whatever a person or a file said stays plain text in it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import singledispatch

from shell.output import clean
from shell.sections import Items, Pairs, Paper, Para, Picture, Table

_ACTIVE = re.compile(r"[\\`*_\[\]|~]|<(?=[A-Za-z/!?])|&(?=[#A-Za-z])|(?<=\w)@|:(?=//)|(?<=\bwww)\.", re.IGNORECASE)
_OPENING = re.compile(r"^(\s*)([#>+=-]|\d{1,9}(?=[.)]))")


def plain(text: str) -> str:
    """A text on one line in which nothing is markup, a link or HTML."""
    told = _ACTIVE.sub(lambda found: f"\\{found[0]}", " ".join(clean(text).split()))
    opening = _OPENING.match(told)
    if opening is None:
        return told
    if opening[2].isdigit():
        return f"{opening[0]}\\{told[opening.end() :]}"
    return f"{opening[1]}\\{told[len(opening[1]) :]}"


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
        lines.append(f"- **{plain(pair.term)}**{': ' if pair.text else ''}{plain(pair.text)}")
        lines += [f"  - {plain(note)}" for note in pair.notes]
    return "\n".join(lines)


@_block.register
def _table(block: Table) -> str:
    rows = [block.head, tuple("---" for _ in block.head), *block.rows]
    cells = ([cell if index == 1 else plain(cell) for cell in one] for index, one in enumerate(rows))
    return "\n".join(f"| {' | '.join(one)} |" for one in cells)


@_block.register
def _picture(block: Picture) -> str:
    return f"{plain(block.caption)}:\n\n{_block(block.words)}"
