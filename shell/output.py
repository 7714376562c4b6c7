"""The one place that writes to the screen, and that keeps control characters off it."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterable, Mapping
from typing import TextIO

from shell.layout import Row, bar
from shell.style import LOOKS

# Control characters could move the cursor or change the terminal; the direction marks could make text read as another.
_CONTROL = re.compile(r"\x1b\[[0-?]*[ -/]*[@-~]|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)|[\x00-\x08\x0b-\x1f\x7f-\x9f]")
_DIRECTION = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")


def clean(text: str) -> str:
    """The text without control characters, escape sequences and marks that turn the reading direction."""
    return _DIRECTION.sub("", _CONTROL.sub("", text))


def colourful(stream: TextIO | None, environment: Mapping[str, str]) -> bool:
    """Whether a stream may be given looks: a terminal that can, and nobody who asked for none."""
    if stream is None or not stream.isatty():
        return False
    return not environment.get("NO_COLOR") and environment.get("TERM", "") not in ("", "dumb")


def say(text: str = "") -> None:
    """Write a line to the screen."""
    _write(clean(text), sys.stdout)


def complain(text: str) -> None:
    """Write a line about something that went wrong, apart from the results."""
    _write(clean(text), sys.stderr)


def show(rows: Iterable[Row]) -> None:
    """Write rows to the screen, with their looks where it can show them."""
    looks = colourful(sys.stdout, os.environ)
    for row in rows:
        _write("".join(_dress(text, look if looks else "") for look, text in row).rstrip(), sys.stdout)


def _dress(text: str, look: str) -> str:
    plain = clean(text).replace("\n", " ").replace("\t", " ")
    return f"\x1b[{LOOKS[look].code}m{plain}\x1b[0m" if look and plain.strip() else plain


def _write(text: str, stream: TextIO | None) -> None:
    if stream is None:  # started without a screen
        return
    encoding = getattr(stream, "encoding", None) or "utf-8"
    print(text.encode(encoding, "replace").decode(encoding), file=stream, flush=True)


class Bar:
    """How far something has come, on one line beside the results; nothing where nobody watches."""

    def __init__(self, what: str, total: int) -> None:
        self.what, self.total, self.done = what, total, 0
        self.stream = sys.stderr if sys.stderr is not None and sys.stderr.isatty() else None

    def __enter__(self) -> Bar:
        self._draw()
        return self

    def __exit__(self, *_: object) -> None:
        if self.stream is not None:
            print("\r" + " " * len(self._line()), end="\r", file=self.stream, flush=True)

    def step(self) -> None:
        """One more is done."""
        self.done += 1
        self._draw()

    def _line(self) -> str:
        return f"{self.what} [{bar(self.done / max(self.total, 1), 30)}] {self.done}/{self.total}"

    def _draw(self) -> None:
        if self.stream is not None:
            print(f"\r{self._line()}", end="", file=self.stream, flush=True)
