"""Turning from one complaint to the other of the same vehicle, and back."""

from __future__ import annotations

from dataclasses import dataclass, replace

from engine.expectations import expectations
from engine.session import Answer, Session


@dataclass(frozen=True)
class Left:
    """What the search leaves unexplained: a complaint, and the other light that told of it, if one did."""

    complaint: str
    light: str = ""


def unexplained(session: Session) -> Left | None:
    """The second complaint, where none of the leading faults is known for it; else that of another light, likewise.

    None in the second search: from there the way leads back to the first.
    """
    verdict, second = session.verdict, session.second
    if session.waiting is not None or verdict.kind == "stopped" or not verdict.faults:
        return None
    if second is not None and not _explained(session, second):
        return Left(second)
    lights = (name for name in session.base.roles.beams if name in session.findings and verdict.certainty != "open")
    return next((Left(session.told[name], name) for name in lights if _strange(session, name)), None)


def _explained(session: Session, second: str) -> bool:
    """Whether a leading fault is known for the second complaint, or for the light that tells of the same once more."""
    if second != session.complaint:
        return _known_for(session, second)
    lights = [name for name in session.base.roles.beams if session.told.get(name) == second]
    return bool(lights) and not any(_unmoved(session, name) for name in lights)


def _known_for(session: Session, complaint: str) -> bool:
    return any(session.circuit.shows(fault, complaint) for fault in session.verdict.faults)


def _strange(session: Session, light: str) -> bool:
    """Whether no leading fault is known for what a light does, nor makes it likelier than it is anywhere."""
    outcome = session.told[light]
    return outcome in session.base.complaints and not _known_for(session, outcome) and _unmoved(session, light)


def _unmoved(session: Session, light: str) -> bool:
    """Whether what a light does is no likelier under a leading fault than anywhere."""
    table = expectations(session.circuit)
    outcomes = list(session.base.questions[light].outcomes)
    row = table.table(light, session.circumstances)[outcomes.index(session.told[light])]
    return bool(row[[table.columns[fault] for fault in session.verdict.faults]].max() <= row[-1])


def turn(session: Session) -> Session:
    """The session in which the other complaint is looked for; the first waits behind it, and `turn` goes back to it.

    The same session where there is no other. What is known of the vehicle goes over; what was found of a lamp goes with
    the complaint it was found for, and so do its repairs. What is open or off stays so.
    """
    there = session.waiting or _fresh(session)
    if there is None:
        return session
    return replace(
        there,
        waiting=replace(session, waiting=None, wanted=None),
        acknowledged=session.acknowledged | there.acknowledged,
        declined=session.declined | there.declined,
        remarks=session.remarks,
        prices=session.prices,
        mending=replace(session.mending, hand=there.mending.hand, tried=there.mending.tried, closed=False),
    )


def _fresh(session: Session) -> Session | None:
    """A search for the other complaint, with what is known of the vehicle; None where there is no other."""
    base, left = session.base, unexplained(session)
    second = left.complaint if left is not None else session.second
    if second is None:
        return None
    known = base.circumstances.union(base.roles.carried, base.items(base.roles.opening))
    stays = known.difference(base.items(base.roles.anew))
    told = {base.roles.complaint: second, **base.alone}
    answers = {name: one for name, one in session.answers.items() if name in stays and name not in told}
    return Session(base, answers={**answers, **{name: Answer(one) for name, one in told.items()}})
