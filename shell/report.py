"""The command `report`: the record of a job, as Markdown on the screen or as one page of HTML."""

from __future__ import annotations

import argparse
from pathlib import Path

from engine.journal import Journal
from engine.moments import Happened
from engine.problems import Trouble
from engine.report import Report, compose
from shell import keeping, output
from shell.bases import base_of
from shell.jobs import find, is_there


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `report` to a program's parser."""
    words = "write the record of a job, to read, to print or to hand over"
    sub = subparsers.add_parser(
        "report", help=words, description=f"{words}. It is Markdown unless a page is asked for."
    )
    sub.add_argument("job", nargs="?", help="its number, see `jobs`; without one, the job that was changed last")
    add_html(sub)
    sub.add_argument("--data", metavar="DIR", default=argparse.SUPPRESS, help="the folder in which jobs are kept")
    sub.set_defaults(func=run)


def add_html(parser: argparse.ArgumentParser) -> None:
    """Add the option for a page."""
    words = "write one page of HTML that needs nothing else, with pictures, for phone, screen and paper"
    parser.add_argument("--html", metavar="FILE", help=words)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    path = keeping.place(args)
    if not is_there(path):
        raise Trouble(f"There are no jobs in {path.parent}. `lampwright` begins one.")
    with Journal(path) as journal:
        jobs = journal.jobs()
        job = jobs[0] if jobs and args.job is None else find(journal, args.job)
        entries = journal.entries(job.job)
    happened = (Happened(entry.event, entry.time) for entry in entries)
    give(compose(base_of(args), str(job.job), happened), args.html)
    return 0


def give(report: Report, page: str | None, label: str = "") -> None:
    """Write a report: to the file as HTML when one is named, else to the screen as Markdown."""
    from shell.report_words import paper

    written = paper(report, label)
    if page is None:
        from shell.report_markdown import markdown

        output.say(markdown(written))
        return
    from shell.report_html import html

    try:
        Path(page).write_text(html(written), encoding="utf-8")
    except OSError as error:
        raise Trouble(f"{page} cannot be written ({error.strerror}). Choose another place.") from error
    output.say(f"The report is in {page}.")
