"""Jobs on the screen: the list of them, and what newer rules make of an old one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from engine.base import Base
from engine.events import Acknowledged, Amended, Answered, Declined, Event, Priced, PutOff, Rechecked, Remarked, Turned
from engine.journal import Job
from engine.replay import Change, Summary
from engine.wording import in_words
from shell.layout import BLANK, Rows, bullets, para, row
from shell.render_verdict import HEADS
from shell.words import few, percent


def job_rows(jobs: Iterable[Job], width: int) -> Rows:
    """The list of jobs, in the order given."""
    rows: Rows = []
    for job in jobs:
        lead = f"{job.job:>4}  "
        rows += para(job.title or "Nothing told yet", width, "strong", lead, "strong")
        told = [job.state, time_words(job.changed), f"{job.events} kept"]
        rows += para("; ".join(told), width, "faint", indent=len(lead))
        rows += para(verdict_words(job.summary), width, indent=len(lead))
    return rows or [row("There are no jobs yet. `lampwright` begins one.")]


def time_words(time: datetime) -> str:
    """A time of day where this computer stands."""
    return time.astimezone().strftime("%Y-%m-%d %H:%M")


def verdict_words(summary: Summary | None) -> str:
    """A verdict in a line."""
    if summary is None:
        return "The verdict was kept in a form not known here; resuming works it out again"
    if summary.verdict in ("open", "unknown") and not summary.faults:
        return "Nothing can be said yet"
    head = HEADS[summary.verdict].format(names=few(summary.names, 2))
    return f"{head} ({percent(summary.share)})" if "{names}" in HEADS[summary.verdict] and summary.faults else head


def change_rows(change: Change, events: Sequence[Event | None], base: Base, width: int) -> Rows:
    """What newer rules conclude differently; nothing when they conclude the same and everything fits."""
    if not change:
        return []
    rows = para("The rule base has changed since this job was last worked on.", width, "title")
    if change.lost:
        rows += para("No longer fits, and is left out:", width)
        rows += bullets((_event_words(events[number - 1], base) for number in change.lost), width)
    if change.verdict_moved:
        rows += para(f"Then: {verdict_words(change.before)}. Now: {verdict_words(change.now)}.", width)
    for head, faults in (("Ruled out only now", change.newly_excluded), ("Back in doubt", change.no_longer_excluded)):
        if faults and change.now.faults:  # with no suspects at all, nothing is in doubt
            rows += para(few((_fault_words(fault, base) for fault in faults), 6), width, "", f"{head}: ", "strong")
    for head, facts in (
        ("Concluded only now", change.newly_concluded),
        ("No longer concluded", change.no_longer_concluded),
    ):
        if facts:
            said = few((f"{in_words(name)}: {in_words(value)}" for name, value in facts), 6)
            rows += para(said, width, "", f"{head}: ", "strong")
    return [*rows, BLANK]


def _event_words(event: Event | None, base: Base) -> str:
    match event:
        case None:
            return "something that a later version of this program wrote"
        case Answered(question=question, outcome=outcome, said=said):
            title = base.questions[question].title if question in base.questions else in_words(question)
            return f"{title}: {said or in_words(outcome or 'cannot tell')}"
        case Priced(name=name, value=value):
            return f"your own figure for {in_words(name)}: {value:g}"
        case Acknowledged(cautions=cautions) | Declined(cautions=cautions):
            return f"your word on a caution: {few(map(in_words, cautions))}"
        case Turned():
            return "your turning to the other complaint"
        case Remarked(text=text):
            return text
        case PutOff(question=question) | Amended(question=question) | Rechecked(question=question):
            return f"what you did about {in_words(question)}"
    return f"what you did about a repair: {in_words(event.kind)}"


def _fault_words(fault: str, base: Base) -> str:
    return base.faults[fault].name if fault in base.faults else in_words(fault)
