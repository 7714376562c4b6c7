"""Pieces of the record of a job: answers in words, a repair with its proof, root causes, the aim."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from engine import explanation
from engine.events import Answered
from engine.explanation import Told
from engine.mend_events import Remeasured, StepDone
from engine.mending import Frame, Mending, Result, Seen
from engine.moments import Moment
from engine.physics import aim
from engine.session import Answer, Session
from engine.wording import fault_name, fill, outcome_words, repairs_name, title


@dataclass(frozen=True)
class Found:
    """An answer in words, how a reading was sorted, what makes it doubtful, and when it was given if that is known.

    `known` is false for `cannot tell`; `question` is empty where several answers of a form stand together.
    """

    question: str
    title: str
    said: str
    working: tuple[str, ...] = ()
    doubt: str = ""
    time: datetime | None = None
    known: bool = True


@dataclass(frozen=True)
class Check:
    """Something measured again behind a repair: before and after."""

    title: str
    before: str
    after: str


@dataclass(frozen=True)
class Attempt:
    """A repair: what it was for, what was done, the proof, and how the lamp was after it (None while in hand).

    `dropped` names the answers that no longer held after it.
    """

    name: str
    faults: tuple[str, ...]
    steps: tuple[str, ...]
    proof: tuple[str, ...]
    checks: tuple[Check, ...]
    result: Result | None
    dropped: tuple[str, ...]
    time: datetime


@dataclass(frozen=True)
class Cause:
    """A root cause and what became of it; `seen` is empty when nobody has looked."""

    name: str
    seen: Seen | str
    look: str
    mend: str

    @property
    def open(self) -> bool:
        """Whether it may make the new part fail too: not looked at, put off, or found and not mended."""
        return self.seen not in ("not", "mended")


@dataclass(frozen=True)
class Aim:
    """The aim: the wall it was set against, readings in m in their order, and how the last one stands."""

    frame: Frame
    readings: tuple[float, ...]
    offset: aim.Offset | None


def times(played: Iterable[Moment]) -> Mapping[str, datetime]:
    """When each question was answered last."""
    return {one.event.question: one.time for one in played if isinstance(one.event, Answered)}


def circumstances(session: Session, when: Mapping[str, datetime]) -> tuple[Found, ...]:
    """What is known of vehicle and complaint; what tools are at hand is left out."""
    base = session.base
    told = [one for one in explanation.trace(session).told if one.question in base.circumstances]
    return tuple(_found(session, one, when) for one in told if one.outcome and one.question not in base.about_tools)


def found(session: Session, before: Session | None, when: Mapping[str, datetime]) -> tuple[Found, ...]:
    """The answers of a session, those new since `before`; items of a form with the same answer stand together."""
    base = session.base
    old = before.answers if before is not None else {}
    told = [
        one
        for one in explanation.trace(session).told
        if one.question not in base.about_tools and _key(old.get(one.question)) != _key(session.answers[one.question])
    ]
    told.sort(key=lambda one: list(session.answers).index(one.question))
    groups: dict[tuple[str, str], list[Told]] = {}
    for one in told:
        form = next((name for name, entry in base.forms.items() if one.question in entry.items), one.question)
        groups.setdefault((form, one.outcome or "" if form != one.question else ""), []).append(one)
    return tuple(_together(session, form, ones, when) for (form, _), ones in groups.items())


def _key(answer: Answer | None) -> tuple[str | None, str] | None:
    return (answer.outcome, answer.said) if answer is not None else None


def _together(session: Session, form: str, ones: Sequence[Told], when: Mapping[str, datetime]) -> Found:
    first = _found(session, ones[0], when)
    if len(ones) == 1:
        return first
    names = "; ".join(one.title for one in ones)
    head = fill(session, session.base.forms[form].title)
    return Found("", head, f"{first.said.rstrip('.')}: {names}", (), first.doubt, first.time, first.known)


def _found(session: Session, one: Told, when: Mapping[str, datetime]) -> Found:
    said = outcome_words(session, one.question, one.outcome) if one.outcome else "cannot tell"
    if one.said and session.answers[one.question].reading is not None:
        said = f"{one.said}. {said}"
    known = one.outcome is not None
    return Found(one.question, one.title, said, one.working, one.doubt, when.get(one.question), known)


def attempt(span: Sequence[Moment]) -> Attempt:
    """The repair of some moments, which begin with its beginning."""
    first, last = span[0].after, span[-1]
    hand = first.mending.hand
    if hand is None:
        raise ValueError("these moments do not begin with a repair")
    now = last.after.mending.hand
    done = last.after.mending.tried[-1] if now is None and last.after.mending.tried else None
    steps = [(one.event.stage, fill(one.after, one.event.text)) for one in span if isinstance(one.event, StepDone)]
    return Attempt(
        name=repairs_name(first.base, hand.repairs),
        faults=tuple(fault_name(first.base, fault) for fault in hand.faults),
        steps=tuple(text for stage, text in steps if stage in ("open", "do") and text),
        proof=tuple(text for stage, text in steps if stage == "prove" and text),
        checks=tuple(_check(first, one.event) for one in span if isinstance(one.event, Remeasured)),
        result=done.result if done else now.result if now else None,
        dropped=tuple(title(first, name) for name in done.dropped) if done else (),
        time=last.time,
    )


def _check(before: Session, event: Remeasured) -> Check:
    def words(outcome: str | None, said: str, measured: bool) -> str:
        if outcome is None:
            return "cannot tell"
        return said if measured and said else outcome_words(before, event.question, outcome)

    old = before.answers.get(event.question)
    was = words(old.outcome, old.said, old.reading is not None) if old else ""
    return Check(title(before, event.question), was, words(event.outcome, event.said, event.reading is not None))


def causes(session: Session) -> tuple[Cause, ...]:
    """The root causes of a job: those looked at, then those still open."""
    base, seen = session.base, session.mending.seen
    names = dict.fromkeys((*(name for name in seen if name in base.causes), *session.open_causes))
    return tuple(
        Cause(base.causes[name].name, seen.get(name, ""), base.causes[name].look, base.causes[name].mend)
        for name in names
    )


def aim_of(mending: Mending) -> Aim | None:
    """The aim as far as it was set, if it was."""
    frame = mending.frame
    if frame is None:
        return None
    offset = None
    if mending.readings:
        slope = aim.inclination(frame.height, frame.distance, mending.readings[-1])
        offset = aim.judge(slope, frame.target, frame.limits, frame.distance)
    return Aim(frame, mending.readings, offset)
