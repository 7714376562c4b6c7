"""The tutorial in DEVELOPERS.md as what it is: commands to run and files to write, in order."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "DEVELOPERS.md"
_BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


class Block(NamedTuple):
    """A fenced block: its language and its text."""

    language: str
    text: str


def blocks(page: str | None = None) -> Iterator[Block]:
    """The fenced blocks between the marks of the tutorial."""
    text = PAGE.read_text(encoding="utf-8") if page is None else page
    inside = text.split("<!-- tutorial -->")[1].split("<!-- end tutorial -->")[0]
    for found in _BLOCK.finditer(inside):
        yield Block(found[1], found[2])


def file_of(block: Block) -> tuple[str, str]:
    """The name of the file that a yaml block stands for, and what to write into it."""
    first, _, rest = block.text.partition("\n")
    assert first.startswith("# mine/"), f"a yaml block must begin with the name of its file, not {first!r}"
    return first.removeprefix("# "), rest
