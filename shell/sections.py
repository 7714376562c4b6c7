"""The parts that a written report is made of, free of any markup."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True)
class Para:
    """A paragraph; `look` is empty, strong, warn or faint."""

    text: str
    look: str = ""


@dataclass(frozen=True)
class Items:
    """A list of texts, numbered or not."""

    texts: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True)
class Pair:
    """A thing and what is said of it, with notes in small."""

    term: str
    text: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Pairs:
    """Things and what is said of them."""

    pairs: tuple[Pair, ...]


@dataclass(frozen=True)
class Table:
    """A table with a heading row; the first cell of a row names it."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Picture:
    """A picture as SVG, what it is called, and the same in words; `wide`: it has a scroll box of its own."""

    svg: str
    caption: str
    words: Items | Table
    wide: bool = False


Block: TypeAlias = Para | Items | Pairs | Table | Picture


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it."""

    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Paper:
    """A whole report: its title, a few lines under it, a label that must not be missed, its sections."""

    title: str
    under: tuple[str, ...]
    label: str
    sections: tuple[Section, ...]
