"""The command `diagnose`: chooses between a terminal, a pipe and a file of answers."""

from __future__ import annotations

import argparse
import sys

from shell.bases import base_of
from shell.keeping import Sitting, begin
from shell.output import say


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `diagnose` to a program's parser."""
    words = "find the fault: in the terminal, from a pipe, or from a file of answers"
    sub = subparsers.add_parser("diagnose", help=words, description=_MORE)
    sub.add_argument("--answers", metavar="FILE", help="take the answers from a YAML file (- for standard input)")
    sub.add_argument("--json", action="store_true", help="write where things stand as one JSON document")
    sub.add_argument("--schema", action="store_true", help="write the JSON Schema of that document and leave")
    sub.set_defaults(func=run)


_MORE = (
    "In a terminal: asks, step by step. On a pipe: the same, one answer a line. With --answers: takes the answers of "
    "the file without asking and writes where they leave things. The exit code is 0 when a report was given, whatever "
    "it says, and 2 when an answer or a file could not be used."
)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    if args.schema:
        import json

        from engine.document import json_schema

        say(json.dumps(json_schema(), indent=2))
        return 0
    if args.answers:
        from shell import batch

        return batch.run(base_of(args), args.answers, args.json)
    return hold(begin(args, base_of(args)), args.json)


def hold(sitting: Sitting, as_json: bool = False) -> int:
    """Hold the dialogue, on the terminal if there is one, else line by line; the exit code."""
    from shell import pipe

    # Decided before any line editor is made: without a terminal it would write escape codes, or fail.
    if not as_json and pipe.is_terminal(sys.stdin, sys.stdout):
        from shell import terminal

        return terminal.run(sitting.session, sitting.keep, sitting.farewell, sitting.kept)
    return pipe.run(sitting.session, sitting.keep, as_json)
