"""The command `demo`: plays an invented job from complaint to report, through the same session and journal as any."""

from __future__ import annotations

import argparse
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path

from engine.base import Base
from engine.journal import Journal
from engine.loading import load
from engine.moments import Happened
from engine.problems import Trouble
from engine.report import compose
from engine.session import End, Session
from shell import output
from shell.bases import shipped
from shell.commands import understand
from shell.demo_lines import Typist
from shell.demo_script import Script, Sitting, read_script
from shell.keeping import FILE, Keeper
from shell.layout import BLANK, Rows, fit, heading, para, row
from shell.meanings import Do
from shell.names import Refusal
from shell.render_noted import noted
from shell.render_step import reminder
from shell.render_verdict import verdict
from shell.report import add_html, give

PACE = timedelta(minutes=2)  # of the workshop's clock, from one line to the next


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `demo` to a program's parser."""
    words = "play an invented job from complaint to report, without asking anything"
    sub = subparsers.add_parser("demo", help=words, description=f"{words}. Nothing of it is kept.")
    add_html(sub)
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    script, base = read_script(shipped() / "demo" / "van.yaml"), load([shipped()])
    width = fit(shutil.get_terminal_size().columns)
    output.show([*para(script.label, width, "warn"), *heading(script.title, width), *para(script.says, width)])
    with _journal() as journal:
        job = play(script, base, journal, output.show, width)
        entries = journal.entries(job)
    output.show([BLANK, *para(script.label, width, "warn"), BLANK])
    give(compose(base, str(job), [Happened(one.event, one.time) for one in entries]), args.html, script.label)
    return 0


@contextmanager
def _journal() -> Iterator[Journal]:
    with tempfile.TemporaryDirectory() as folder, Journal(Path(folder) / FILE) as journal:
        yield journal


def play(script: Script, base: Base, journal: Journal, write: Callable[[Rows], None], width: int) -> int:
    """Play all sittings of a script, each from the journal alone; the number of the job."""
    job: int | None = None
    answers: dict[str, str] = {}
    for sitting in script.sittings:
        answers.update(sitting.answers)
        keeper = Keeper(journal, job, clock=_clock(sitting))
        write([BLANK, *para(sitting.says, width, "title", f"{sitting.begins:%Y-%m-%d %H:%M}  ", "faint")])
        _sit(keeper, keeper.load(base), Typist(sitting, answers), write, width)
        job = keeper.job
    if job is None:
        raise Trouble("The script of the demo says nothing at all.")
    return job


def _clock(sitting: Sitting) -> Callable[[], datetime]:
    """The workshop's clock: the time of this computer's zone, from when the sitting began."""
    times = (sitting.begins.astimezone() + PACE * number for number in range(1, 10_000))
    return lambda: next(times)


def _sit(keeper: Keeper, session: Session, typist: Typist, write: Callable[[Rows], None], width: int) -> None:
    """Hold one sitting, showing each step in its short form."""
    asked_back, last = False, None
    while (line := typist.line(session)) is not None:
        step = session.step
        meant = understand(session, step, line)
        if not isinstance(meant, Do):
            said = meant.message if isinstance(meant, Refusal) else "nothing is done by it"
            raise Trouble(f"The script of the demo no longer fits the rule base. At `{line}`: {said}")
        write([*([] if step == last else reminder(step, session, width)), row(("strong", f"> {line or '(Enter)'}"))])
        last = step
        asked_back = bool(meant.ask_back) and not asked_back
        if asked_back:
            write(para(meant.ask_back, width, "strong"))
            typist.waiting.append(line)
            continue
        kept = keeper.keep(session, meant.events)
        if kept.trouble is not None:
            raise Trouble(kept.trouble.message)
        write(noted(session, kept.session, meant.events, width))
        session = kept.session
    if isinstance(session.step, End):
        write([BLANK, *_brief(verdict(session, width)), row(("faint", "> park"))])


def _brief(rows: Rows) -> Rows:
    """A verdict without its later parts, which the report has in full."""
    blanks = [index for index, one in enumerate(rows) if one == BLANK]
    return rows[: blanks[1]] if len(blanks) > 1 else rows
