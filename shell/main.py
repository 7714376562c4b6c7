"""The command line: global options, the commands, and the exit codes."""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from collections.abc import Sequence
from typing import NamedTuple

from shell.output import complain

DONE, UNUSABLE, INTERRUPTED = 0, 2, 130
DEFAULT = "diagnose"


class Command(NamedTuple):
    """A command: the module that has its `add_to(subparsers)` and its `run(args)`, and what it is for."""

    module: str
    help: str


# Read only when used, so that the program starts fast. A test compares these words with those of the modules.
COMMANDS = {
    "diagnose": Command("shell.diagnose", "find the fault: in the terminal, from a pipe, or from a file of answers"),
    "jobs": Command("shell.jobs", "list the jobs that are kept, the one changed last first"),
    "resume": Command("shell.resume", "go on with a job exactly where it stood"),
    "report": Command("shell.report", "write the record of a job, to read, to print or to hand over"),
    "demo": Command("shell.demo", "play an invented job from complaint to report, without asking anything"),
    "rehearse": Command("shell.rehearse", "practise: find a fault that is hidden, and see what the search cost"),
    "kb": Command("shell.kb", "the trainer's bench: look over, extend and show the rule base"),
    "figure": Command("shell.figure", "work out a number of the lamp circuit by hand"),
}

_ABOUT = "Finds out why a vehicle's headlamp misbehaves, before anyone buys a part. Without a command: diagnose."
_CODES = """exit codes:
  0    done, whatever was found
  1    done, and a check found problems
  2    could not run: a wrong option, a file or an answer that cannot be used
  130  interrupted"""
_WITH_VALUE = ("--kb", "--kb-add", "--data")


def parser(wanted: str | None = None) -> argparse.ArgumentParser:
    """The parser; only the wanted command is read in full, None stands for all."""
    top = argparse.ArgumentParser(
        "lampwright", description=_ABOUT, epilog=_CODES, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    top.add_argument("--kb", dest="base", metavar="DIR", help="use this rule base in place of the shipped one")
    laid = "lay this folder over the rule base; may be given again"
    top.add_argument("--kb-add", dest="layers", metavar="DIR", action="append", default=[], help=laid)
    kept = "keep jobs in this folder; otherwise LAMPWRIGHT_DATA names it, or it is where this computer keeps such data"
    top.add_argument("--data", metavar="DIR", help=kept)
    commands = top.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    for name, command in COMMANDS.items():
        if wanted in (None, name):
            importlib.import_module(command.module).add_to(commands)
        else:
            commands.add_parser(name, help=command.help)
    return top


def with_command(argv: Sequence[str]) -> tuple[list[str], str | None]:
    """The arguments with the default command put in where none is named, and the command; none for plain help."""
    at = 0
    while at < len(argv) and argv[at].partition("=")[0] in _WITH_VALUE:
        at += 1 if "=" in argv[at] else 2
    rest = list(argv[at:])
    if at > len(argv) or (rest and rest[0] in ("-h", "--help")):
        return list(argv), ""
    if not rest or rest[0].startswith("-"):
        return [*argv[:at], DEFAULT, *rest], DEFAULT
    return list(argv), rest[0]


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line; the exit code."""
    given, command = with_command(sys.argv[1:] if argv is None else argv)
    try:
        args = parser(command).parse_args(given)
    except SystemExit as leaving:
        return leaving.code if isinstance(leaving.code, int) else UNUSABLE
    try:
        return _run(args)
    except KeyboardInterrupt:
        complain("Interrupted.")
        return INTERRUPTED
    except BrokenPipeError:
        # Whoever read the output has gone; what is left in the buffer must not raise again when Python closes it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE


def _run(args: argparse.Namespace) -> int:
    from engine.problems import Trouble  # here, because reading the engine takes time that `--help` can do without

    try:
        code: int = args.func(args)
        return code
    except Trouble as trouble:
        complain(str(trouble))
        return UNUSABLE
