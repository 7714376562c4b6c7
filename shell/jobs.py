"""The command `jobs`: lists the jobs that are kept, and closes those that are done with."""

from __future__ import annotations

import argparse
import json
import shutil
from contextlib import suppress
from pathlib import Path
from typing import Any

from engine.journal import Job, Journal
from engine.problems import Trouble
from engine.storage import copy_of
from shell import keeping, output
from shell.layout import fit
from shell.render_jobs import job_rows

_JSON = """each job in the JSON list, the one changed last first:
  job                 its number, as text: what `resume` takes
  title, state        a few words, and open or closed
  created, changed    times, in UTC
  events              how many answers, remarks and figures are kept
  verdict, certainty  as in `diagnose --json`; null where they have to be worked out again
  faults, share       the faults it is about, and their probability together"""


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `jobs` to a program's parser."""
    raw = argparse.RawDescriptionHelpFormatter
    words = "list the jobs that are kept, the one changed last first"
    sub = subparsers.add_parser("jobs", help=words, description=words, epilog=_JSON, formatter_class=raw)
    sub.add_argument("--json", action="store_true", help="write the list as JSON")
    sub.add_argument("--close", metavar="JOB", help="mark a job as closed; it can still be resumed")
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    path, listed = keeping.place(args), []
    if is_there(path) or args.close:
        with Journal(path) as journal:
            if args.close:
                journal.mark(find(journal, args.close).job, "closed", keeping.now())
            listed = list(journal.jobs())
    if args.json:
        output.say(json.dumps([_plain(job) for job in listed], indent=2, ensure_ascii=False))
    else:
        output.show(job_rows(listed, _width()))
    return 0


def is_there(path: Path) -> bool:
    """Whether there is a journal, or the copy of one that the journal has a word about."""
    with suppress(OSError):
        return path.exists() or copy_of(path).exists()
    return True  # it cannot be looked at; opening it says why


def find(journal: Journal, wanted: str | None) -> Job:
    """The job of a number, or the open one that was changed last. Raises Trouble when there is none."""
    jobs = journal.jobs()
    if wanted is None:
        found = next((job for job in jobs if job.state == "open"), None)
        missing = "There is no open job. `lampwright` begins one; `lampwright jobs` lists those that are closed."
    else:
        found = next((job for job in jobs if str(job.job) == wanted.strip().lstrip("0")), None)
        missing = f'There is no job "{wanted[:40]}". `lampwright jobs` lists those there are.'
    if found is None:
        raise Trouble(missing)
    return found


def _plain(job: Job) -> dict[str, Any]:
    one = job.summary
    return {
        "job": str(job.job),
        "title": job.title,
        "state": job.state,
        "created": job.created.isoformat(),
        "changed": job.changed.isoformat(),
        "events": job.events,
        "verdict": one.verdict if one else None,
        "certainty": one.certainty if one else None,
        "faults": list(one.faults) if one else [],
        "share": one.share if one else None,
    }


def _width() -> int:
    return fit(shutil.get_terminal_size().columns)
