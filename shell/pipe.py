"""The dialogue without a terminal: one answer a line, plain text, and a report at the end of the input."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterable, Iterator
from typing import TextIO

from engine.document import document, to_json
from engine.problems import Trouble
from engine.session import End, Session
from shell import output
from shell.batch import report
from shell.dialogue import Desk, Keep, converse, forget
from shell.layout import Rows, fit, row
from shell.names import Refusal

LONGEST = 20_000  # characters of a line; what is longer is no answer, and must not fill the memory


class BadLine(Trouble):
    """A line that is no answer, with nobody there to type another."""


def is_terminal(reading: TextIO | None, writing: TextIO | None) -> bool:
    """Whether a line editor can be used."""
    try:
        both = reading is not None and writing is not None and reading.isatty() and writing.isatty()
    except ValueError:  # closed
        return False
    return both and os.environ.get("TERM", "") not in ("", "dumb")


def run(session: Session, keep: Keep = forget, as_json: bool = False) -> int:
    """Take answers from standard input until it ends or parks, then write where things stand; the exit code."""
    import sys

    lines = _Lines(sys.stdin, quiet=as_json)
    width = fit(shutil.get_terminal_size().columns)

    def write(rows: Rows) -> None:
        if not as_json:
            output.show(rows)

    session = converse(session, Desk(lines.read, write, lines.refuse, lambda: width), keep)
    if as_json:
        output.say(to_json(document(session)))
    elif not isinstance(session.step, End):  # an end has been shown when it was reached
        output.show(report(session, width, next_too=False))
    return 0


class _Lines:
    """Reads lines, counting them, and says back what was read so that the written dialogue makes sense."""

    def __init__(self, stream: TextIO | None, quiet: bool) -> None:
        self.lines: Iterator[str] = iter(_readable(stream))
        self.number = 0
        self.quiet = quiet

    def read(self, session: Session) -> str:
        """The next line."""
        line = next(self.lines, None)
        if line is None:
            raise EOFError
        self.number += 1
        if len(line) > LONGEST:
            raise BadLine(f"Line {self.number} of the answers is longer than {LONGEST:,} characters. Say it shorter")
        text = line.rstrip("\r\n")
        if not self.quiet:
            output.show([row(("strong", f"> {text}"))])
        return text

    def refuse(self, refusal: Refusal) -> None:
        """Stop: going on would put later answers to the wrong questions. On a terminal, somebody can type another."""
        import sys

        if not self.quiet and sys.stdin is not None and sys.stdin.isatty():
            output.show([row(refusal.message)])
            return
        raise BadLine(f"Line {self.number} of the answers: {refusal.message}")


def _readable(stream: TextIO | None) -> Iterable[str]:
    if stream is None or stream.closed:
        return ()
    return _decoded(stream)


def _decoded(stream: TextIO) -> Iterator[str]:
    try:
        yield from iter(lambda: stream.readline(LONGEST + 1), "")
    except UnicodeDecodeError as wrong:
        raise Trouble("The answers are not UTF-8 text; save them as UTF-8") from wrong
