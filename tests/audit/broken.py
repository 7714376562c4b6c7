"""Deliberately broken entries, each with where and how it is to be reported and words of the mend: `broken.txt`."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

_HEAD = re.compile(r"^=== (.+): (\d+):(\d+) (\S+) (.+)\n", re.MULTILINE)


class Broken(NamedTuple):
    """A file that is wrong in one way: the problem's line and column, severity and code, and words of its message."""

    name: str
    line: int
    column: int
    label: str
    words: str
    text: str


def _read() -> tuple[Broken, ...]:
    _, *parts = _HEAD.split(Path(__file__).with_suffix(".txt").read_text(encoding="utf-8"))
    rows = zip(*(iter(parts),) * 6, strict=True)
    return tuple(Broken(name, int(line), int(column), *rest) for name, line, column, *rest in rows)


BROKEN = _read()


def rule(body: str, name: str = "odd-rule") -> str:
    """A file with one rule of this body, which a source ends."""
    lines = "".join(f"    {line}\n" for line in body.splitlines())
    return f"rules:\n  {name}:\n{lines}    source: common-practice\n"
