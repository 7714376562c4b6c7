"""What is said back after something was done: the answer as understood, and what it changed at once."""

from __future__ import annotations

from collections.abc import Iterable

from engine.events import Acknowledged, Amended, Answered, Declined, Event, Priced, PutOff, Remarked, Turned
from engine.session import Session
from engine.wording import fault_name, fill, in_words, outcome_words, title, told_words
from shell.layout import Rows, para, run_in
from shell.noted_mending import mended_rows
from shell.words import few


def noted(before: Session, after: Session, events: Iterable[Event], width: int) -> Rows:
    """A line or two on what was done, and what rules ruled out, proved or warn of because of it."""
    rows: Rows = []
    done = list(events)
    told = [event for event in done if isinstance(event, Answered) and event.reading is None]
    if len(told) > 1:
        rows += _form_rows(after, told, width)
        done = [event for event in done if event not in told]
    for event in done:
        rows += _event_rows(after, event, width) or mended_rows(before, after, event, width)
    if before.waiting is not after.waiting:  # what was ruled out for one says nothing of the other
        return rows
    if after.mending.cured:  # what is answered now is about the cause, and no longer about the fault
        return rows
    return [*rows, *_consequences(before, after, width)]


def _form_rows(session: Session, told: Iterable[Answered], width: int) -> Rows:
    """The lines of a form, those with the same answer together; one that stands alone says what it means."""
    groups: dict[str, list[str]] = {}
    for event in told:
        groups.setdefault(event.outcome or "", []).append(event.question)
    rows: Rows = []
    for outcome, questions in groups.items():
        names = "; ".join(title(session, one) for one in questions)
        if outcome and len(questions) == 1:
            rows += para(f"Noted: {names}: {outcome_words(session, questions[0], outcome)}", width)
        else:
            rows += run_in("", f"Noted as {outcome or 'cannot tell'}", names, width, 0)
    return rows


def _untold(session: Session, question: str, width: int) -> Rows:
    name = title(session, question)
    if question != session.base.roles.technology:
        return para(f"Noted: {name}: cannot tell. It counts for nothing either way.", width)
    rows = para(f"Noted: {name}: cannot tell. It has to be known first, as no test suits every lamp.", width)
    return [*rows, *(line for do in session.base.questions[question].do for line in para(do, width, indent=4))]


def _told(session: Session, event: Answered, width: int) -> Rows:
    question = event.question
    if event.outcome is None:
        return _untold(session, question, width)
    rows = para(f"Noted: {title(session, question)}: {outcome_words(session, question, event.outcome)}", width)
    for line in event.working:
        rows += para(line, width, "faint", indent=4)
    found = session.findings.get(question)
    return [*rows, *(para(f"Weighed lightly. {found.doubt}", width, indent=4) if found and found.doubt else [])]


def _event_rows(session: Session, event: Event, width: int) -> Rows:
    match event:
        case Answered():
            return _told(session, event, width)
        case PutOff(question=question):
            return para(f"Put off: {title(session, question)}. `amend {question}` asks it again.", width)
        case Amended(question=question):
            return para(f"Taken back: {title(session, question)}. The rest stands.", width)
        case Acknowledged() | Declined():
            declined = isinstance(event, Declined)
            return para("Good. Tests with this danger are left out." if declined else "Good. Work safely.", width)
        case Turned():
            return para(f"Now to this: {told_words(session, session.base.roles.complaint)}", width)
        case Remarked():
            return para("The remark is kept.", width)
        case Priced(name=name, value=value):
            return para(f"From now on: {in_words(name)} {value:g}.", width)
    return []


def _consequences(before: Session, after: Session, width: int) -> Rows:
    rows: Rows = []
    base = after.base
    if before.technology == after.technology:
        gone = [fault for fault in after.reasoning.exclusions if fault not in before.reasoning.exclusions]
        back = [fault for fault in before.reasoning.exclusions if fault not in after.reasoning.exclusions]
        known = {*before.reasoning.proofs, *after.reasoning.exclusions}
        proved = [fault for fault in after.reasoning.proofs if fault not in known]
        for head, faults in (("Ruled out", gone), ("Back in doubt", back), ("Shown", proved)):
            if faults:
                rows += para(few(fault_name(base, fault) for fault in faults), width, "", f"{head}: ", "strong", 2)
    new = [name for name in after.verdict.cautions if name not in before.verdict.cautions]
    if not after.verdict.stopped_by:
        for name in new:
            rows += run_in("! ", base.cautions[name].name, fill(after, base.cautions[name].say), width, 0, "warn")
    return rows
