"""Sessions around a repair: begun with what is to be measured again, judged with what its failure makes stale."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from engine import mending
from engine.costs import way, way_is_open
from engine.expectations import expectations
from engine.mending import Result
from engine.planning import repair_left
from engine.session import Answer, Session

SPOKE_FOR = 1.5  # a likelihood ratio from which an answer counts as having spoken for a fault
CLEARLY = 0.2  # a fault with less than this part of its repair's share is not what the repair is for


def begin(session: Session, repairs: Sequence[str]) -> Session:
    """The session with this repair in hand. A repair already in hand gives way to it; closed jobs are opened again."""
    faults = targets(session, repairs)
    ready = set(session.opened)
    for name in repairs:
        ready.update(way(session.base, session.base.repairs[name].access))
    again = [name for name in spoke_for(session, faults) if way_is_open(session.base, name, frozenset(ready))]
    state = mending.begin(
        session.mending, session.base, session.prices, repairs, faults, session.verdict, session.opened, again
    )
    return replace(session, mending=state, wanted=None)


def targets(session: Session, repairs: Sequence[str]) -> tuple[str, ...]:
    """The faults that a repair is for: those it cures whose share is not small beside the others'."""
    done = session.mending.repaired
    wanted = set(repairs)
    known = [
        (fault, share)
        for fault, share in session.belief.ranking()
        if wanted.issuperset(repair_left(session.base, fault, done))
    ]
    total = sum(share for _, share in known)
    return tuple(fault for fault, share in known if share >= CLEARLY * total)


def spoke_for(session: Session, faults: Sequence[str]) -> tuple[str, ...]:
    """Readings, and tests made with an instrument, whose answers spoke for one of the faults."""
    return tuple(name for name in _pointing(session, faults) if _measured(session, name))


def _pointing(session: Session, faults: Sequence[str]) -> tuple[str, ...]:
    """Tests, readings and other lights whose answers spoke for one of the faults."""
    base, table = session.base, expectations(session.circuit)
    columns = [table.columns[fault] for fault in faults]
    found = []
    for name, one in session.findings.items():
        if name not in table.speaking or not columns or not _through_the_lamp(session, name):
            continue
        row = table.table(name, session.circumstances)[list(base.questions[name].outcomes).index(one.outcome)]
        if row[columns].max() >= SPOKE_FOR * row[-1]:
            found.append(name)
    return tuple(found)


def _through_the_lamp(session: Session, question: str) -> bool:
    """Whether it was found on the circuit as it was then: by a test, a reading, or by what other lights did."""
    lights = session.base.technologies[session.technology].paths if session.technology else ()
    return session.base.questions[question].kind in ("test", "reading") or question in lights


def _measured(session: Session, question: str) -> bool:
    """Whether a question is answered with an instrument: a tool that not everybody has at hand."""
    entry = session.base.questions[question]
    return entry.kind == "reading" or (
        entry.kind == "test" and any(session.base.tools[tool].at_hand for tool in entry.tools)
    )


def judge(session: Session, result: Result) -> Session:
    """The session after the proof, or after the lamp failed again: nothing in hand is changed when it works.

    Otherwise the search goes on: what went through the repair is dropped, what was measured behind it takes its
    place, and a complaint that has changed is asked anew.
    """
    hand = session.mending.hand
    if hand is None:
        return session
    if result == "works":
        return replace(session, mending=replace(session.mending, hand=replace(hand, result=result)))
    gone = stale(session, hand.repairs, hand.faults, result)
    fresh: Mapping[str, Answer] = {name: one for name, one in hand.again.items() if one.outcome is not None}
    dropped = {name: one for name, one in session.answers.items() if name in gone or name in fresh}
    kept = {name: one for name, one in session.answers.items() if name not in dropped}
    return replace(
        session,
        answers={**kept, **fresh},
        rechecked=session.rechecked - dropped.keys(),
        wanted=session.base.roles.complaint if result == "changed" else None,
        mending=mending.give_up(session.mending, dropped, result),
    )


def stale(session: Session, repairs: Sequence[str], faults: Sequence[str], result: Result) -> frozenset[str]:
    """The answered questions that no longer hold after a repair that did not cure.

    Those the repair names; what was found through the old part and spoke for one of the faults it was for, since that
    part is gone (another light that was dead with it may be back: it is looked at again); and when the lamp behaves in
    another way, the complaint, whether it is showing, and what was told of the old complaint.
    """
    base = session.base
    gone = {name for repair in repairs for name in base.repairs[repair].stale}
    gone.update(_pointing(session, faults))
    if result == "changed":
        role = base.roles.complaint
        gone.update((role, *base.roles.showing))
        gone.update(name for name, entry in base.questions.items() if entry.kind == "symptom" and role in entry.suits)
    return frozenset(gone.intersection(session.answers))
