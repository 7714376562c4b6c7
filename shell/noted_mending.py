"""What is said back after something was done around a repair."""

from __future__ import annotations

from engine.events import Event
from engine.mend_events import (
    AimRead,
    Begun,
    CauseLooked,
    Closed,
    Fastened,
    Framed,
    Judged,
    Marked,
    Remeasured,
    RepairLeft,
)
from engine.session import Session
from engine.vehicle_events import AccessNoted, VehicleNamed
from engine.wording import fact_words, outcome_words, repairs_name, title
from shell.layout import BLANK, Rows, bullets, para
from shell.render_aim import reading_rows
from shell.render_buy import stamp_rows
from shell.render_vehicle import noted_vehicle
from shell.words import capital, sentence


def mended_rows(before: Session, after: Session, event: Event, width: int) -> Rows:
    """A line or more on what was done; nothing for what speaks for itself."""
    base = after.base
    match event:
        case Begun(repairs=repairs):
            return para(f"In hand: {repairs_name(base, repairs)}. Every step is kept.", width)
        case RepairLeft():
            return para("Left undone. What was opened or taken off stays noted: `took` reads it back.", width)
        case Fastened(what=what, count=count, place=place):
            return para(f"Noted: {count} x {what}{f', {place}' if place else ''}.", width)
        case AccessNoted() | VehicleNamed():
            return noted_vehicle(after, event, width)
        case Remeasured(question=question, outcome=outcome):
            said = outcome_words(after, question, outcome) if outcome else "left out"
            return para(f"After the repair: {title(after, question)}: {said}", width)
        case CauseLooked(cause=cause, seen=seen):
            return _cause_rows(after, cause, seen, width)
        case Judged(result=result):
            return _judged(before, after, result, width)
        case Marked(category=category):
            return stamp_rows(base, category, width)
        case Closed():
            return para("The job is closed.", width) if after.mending.hand is None else []
    return _aim_rows(after, event, width)


def _aim_rows(session: Session, event: Event, width: int) -> Rows:
    match event:
        case Framed():
            return para("Noted. The lines for the wall:", width)
        case AimRead():
            return reading_rows(session, width)
    return []


def _cause_rows(session: Session, cause: str, seen: str, width: int) -> Rows:
    entry = session.base.causes[cause]
    words = {"found": "found", "not": "not there", "mended": "mended", "later": "put off; the job will remind you"}
    return para(f"Noted: {entry.name}: {words[seen]}.", width)


def _judged(before: Session, after: Session, result: str, width: int) -> Rows:
    if result == "works":
        return para("Good. Before it is put back: why did it fail?" if after.open_causes else "Good.", width, "good")
    tried = after.mending.tried[-1]
    dud = after.base.setting("dud-share")
    text = (
        f"Not cured by it. The new part is probably good; about {dud * 100:.0f} in a hundred are not, "
        "and wrong ones get fitted. So the search goes on, for a second fault above all."
    )
    rows = para(text, width, "strong")
    gone = [name for name in tried.dropped if name not in tried.again]
    if gone:
        rows += para("No longer true after the repair, and dropped:", width)
        old = [f"{title(after, name)}: {_said(before, name)}" for name in gone]
        rows += bullets(map(capital, old), width)
    fresh = [name for name, one in tried.again.items() if one.outcome]
    if fresh:
        rows += para("Measured behind the repair, and now counted:", width)
        rows += bullets((fact_words(after, name, tried.again[name].outcome or "") for name in fresh), width)
    if result == "changed":
        hint = "Something may have been disturbed by the work: plugs, earth and clips near it come first."
        rows += para(sentence(hint), width)
    return [*rows, BLANK]


def _said(session: Session, question: str) -> str:
    outcome = session.answers[question].outcome
    return outcome_words(session, question, outcome) if outcome else "cannot tell"
