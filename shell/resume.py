"""The command `resume`: goes on with a job exactly where it stood."""

from __future__ import annotations

import argparse
import shutil

from engine.base import Base
from engine.journal import Job, Journal
from engine.problems import Trouble
from engine.replay import changes, fingerprint
from shell import keeping, output
from shell.bases import base_of
from shell.diagnose import hold
from shell.jobs import find, is_there
from shell.layout import Rows, fit, text_of
from shell.render_jobs import change_rows


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `resume` to a program's parser."""
    words = "go on with a job exactly where it stood"
    sub = subparsers.add_parser("resume", help=words, description=words)
    sub.add_argument("job", nargs="?", help="its number; without one, the open job that was changed last")
    sub.add_argument(
        "--json", action="store_true", help="take answers from a pipe and write where things stand as JSON"
    )
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    path = keeping.place(args)
    if not is_there(path):
        raise Trouble(f"There are no jobs in {path.parent}. `lampwright` begins one.")
    with Journal(path) as journal:
        job = find(journal, args.job)
        base = base_of(args)
        rows = _changed(journal, job, base)
        if args.json:
            for line in text_of(rows):
                output.complain(line)
        else:
            output.show(rows)
        return hold(keeping.resume(journal, base, job.job), args.json)


def _changed(journal: Journal, job: Job, base: Base) -> Rows:
    """What this base makes of a job differently from the base under which it was last worked on."""
    entries = journal.entries(job.job)
    if job.summary is None or not entries or entries[-1].base == fingerprint(base):
        return []
    events = [entry.event for entry in entries]
    return change_rows(changes(base, events, job.summary), events, base, fit(shutil.get_terminal_size().columns))
