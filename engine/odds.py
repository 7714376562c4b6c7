"""How the odds moved in the course of a job: the share of the leading faults after each answer and repair."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from engine.events import Amended, Answered
from engine.mend_events import Judged
from engine.moments import Moment
from engine.session import Session
from engine.wording import fault_name, outcome_words, repairs_name, title

TRACKED = 5  # lines that can be told apart
EVER = 0.1  # a share that a fault must have reached to have a line
MOVED = 0.01  # a smaller move of every line is not worth a point


@dataclass(frozen=True)
class Point:
    """What was said or done, and the share of each fault after it, 0 to 1. `repair`: a repair that did not cure."""

    said: str
    shares: tuple[float, ...]
    repair: bool = False


@dataclass(frozen=True)
class Odds:
    """The shares of some faults, in the course of a job; `idle` counts the answers that moved none of them."""

    faults: tuple[str, ...]
    names: tuple[str, ...]
    points: tuple[Point, ...]
    idle: int = 0

    def __bool__(self) -> bool:
        return len(self.points) > 1 and bool(self.faults)


def odds(moments: Sequence[Moment]) -> Odds:
    """The course of the odds; the fault that leads at the end first, then by the most each ever had."""
    telling = [one for one in moments if _tells(one)]
    if not telling:
        return Odds((), (), ())
    tables = [dict(one.after.belief.ranking()) for one in telling]
    peak = {fault: max(table.get(fault, 0.0) for table in tables) for table in tables for fault in table}
    kept = sorted((fault for fault in peak if peak[fault] >= EVER), key=lambda fault: (-peak[fault], fault))[:TRACKED]
    first = max(kept, key=lambda fault: tables[-1].get(fault, 0.0), default="")
    kept = sorted(kept, key=lambda fault: fault != first)
    points: list[Point] = []
    idle = 0
    for one, table in zip(telling, tables, strict=True):
        shares = tuple(table.get(fault, 0.0) for fault in kept)
        point = Point(_words(one), shares, isinstance(one.event, Judged))
        if points and not point.repair and one is not telling[-1] and _same(points[-1], point):
            idle += 1
        else:
            points.append(point)
    names = tuple(fault_name(telling[-1].after.base, fault) for fault in kept)
    return Odds(tuple(kept), names, tuple(points), idle)


def _tells(one: Moment) -> bool:
    """Whether a moment can move the odds: while the fault is looked for, once lamp and complaint are known."""
    after = one.after
    if isinstance(one.event, Judged):
        return bool(after.circuit.faults) and one.before.mending.hand is not None and not after.mending.cured
    known = bool(after.circuit.faults) and after.complaint is not None
    if isinstance(one.event, Answered):
        return known and one.event.outcome is not None and one.before.mending.hand is None
    return known and isinstance(one.event, Amended)


def _same(before: Point, after: Point) -> bool:
    return all(abs(one - two) < MOVED for one, two in zip(before.shares, after.shares, strict=True))


def _words(one: Moment) -> str:
    match one.event:
        case Answered(question=question, outcome=outcome):
            return _answer_words(one.after, question, outcome or "")
        case Amended(question=question):
            return f"Taken back: {title(one.after, question)}"
        case Judged(result=result):
            hand = one.before.mending.hand
            done = repairs_name(one.after.base, hand.repairs) if hand else "repair"
            return f"Repair done: {done}. The lamp is {'not cured' if result == 'unchanged' else 'not as before'}"
    return ""


def _answer_words(session: Session, question: str, outcome: str) -> str:
    said = session.answers[question].said if session.base.questions[question].unit else ""
    return f"{title(session, question)}: {said or outcome_words(session, question, outcome)}".rstrip(".")
