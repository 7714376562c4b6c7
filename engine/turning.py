"""Turning from one complaint to the other of the same vehicle, and back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from engine.base import Base
from engine.session import Answer, Session


def unexplained(session: Session) -> str | None:
    """The second complaint, where the search has ended and none of the leading faults is known for it."""
    verdict, second = session.verdict, session.second
    if second is None or verdict.kind == "stopped":
        return None
    return None if any(session.circuit.shows(fault, second) for fault in verdict.faults) else second


def turn(session: Session) -> Session:
    """The session in which the other complaint is looked for; the first waits behind it, and `turn` goes back to it.

    The same session where there is no other. What is known of the vehicle goes over; what was found goes with the
    complaint it was found for, and so do its repairs. What is open or off stays so.
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
    """A search for the second complaint, with what is known of the vehicle."""
    base, second = session.base, session.second
    if second is None:
        return None
    stays = base.circumstances.union(_items(base, base.roles.opening)).difference(_items(base, base.roles.anew))
    told = {base.roles.complaint: second, **base.alone}
    answers = {name: one for name, one in session.answers.items() if name in stays and name not in told}
    return Session(base, answers={**answers, **{name: Answer(one) for name, one in told.items()}})


def _items(base: Base, names: tuple[str, ...]) -> Iterator[str]:
    """The questions of an opening, forms spelled out."""
    for name in names:
        yield from base.forms[name].items if name in base.forms else (name,)
