"""The command `kb`: the trainer's bench, one module for each of its commands."""

from __future__ import annotations

import argparse
import importlib
from typing import NamedTuple


class Bench(NamedTuple):
    """A command of the bench: the module that has its `add_to(subparsers)` and `run(args)`, and what it is for."""

    module: str
    help: str


BENCH = {
    "check": Bench("shell.kb_check", "look the rule base over: everything wrong or doubtful, with its place"),
    "schema": Bench("shell.kb_schema", "write the JSON Schema of knowledge files, for completion in an editor"),
    "new": Bench("shell.kb_new", "write the draft of a new entry"),
    "show": Bench("shell.kb_show", "read an entry aloud: what it says, who uses it, what it decides, its source"),
    "chart": Bench("shell.kb_chart", "the rule base as a picture, or as a table of what is expected under each fault"),
    "cases": Bench("shell.kb_cases", "run the worked cases, told at once and played"),
    "compare": Bench("shell.kb_compare", "what a change of the rules moved since an older base, worst first"),
    "stats": Bench("shell.kb_stats", "count what there is, and say where it is thin"),
}
HELP = "the trainer's bench: look over, extend and show the rule base"


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `kb` and its commands to a program's parser."""
    parser = subparsers.add_parser("kb", help=HELP, description=HELP[:1].upper() + HELP[1:] + ".")
    bench = parser.add_subparsers(dest="bench", required=True, metavar="COMMAND", title="commands")
    for command in BENCH.values():
        importlib.import_module(command.module).add_to(bench)
