"""Takes answers without asking and reports where they leave things."""

from __future__ import annotations

import shutil

from engine.base import Base
from engine.document import document, to_json
from engine.session import End, Session
from shell import answers_file, output
from shell.layout import BLANK, Rows, fit, para
from shell.render_standing import spend, standing
from shell.render_step import step_rows
from shell.render_trace import trace
from shell.render_verdict import verdict


def run(base: Base, name: str, as_json: bool) -> int:
    """Report on the answers of a file; the exit code. Raises KnowledgeError when an answer cannot be used."""
    session = answers_file.read(Session(base), name)
    if as_json:
        output.say(to_json(document(session)))
    else:
        output.show(report(session, fit(shutil.get_terminal_size().columns)))
    return 0


def report(session: Session, width: int, next_too: bool = True) -> Rows:
    """Where things stand: the verdict, the suspects, what to ask next, the trace and the costs."""
    rows = verdict(session, width)
    if session.circuit.faults:
        rows += standing(session, width)
    if next_too and not isinstance(session.step, End):
        rows += [BLANK, *para("The next step", width, "faint"), *step_rows(session.step, session, width)]
    return [*rows, *trace(session, width), *spend(session, width)]
