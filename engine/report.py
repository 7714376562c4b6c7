"""The record of a job as one value: complaint, findings, odds, verdicts, repairs and proof, causes, aim, sources."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from engine import argument, buying, explanation, records
from engine.argument import Graph
from engine.base import Base
from engine.buying import NotBought, Offer
from engine.document import Danger, Document, document
from engine.events import Acknowledged, Answered, Remarked, Turned
from engine.mend_events import Begun, Judged
from engine.mending import Fastener
from engine.moments import Happened, Moment, moments
from engine.odds import Odds, odds
from engine.records import Aim, Attempt, Cause, Found
from engine.replay import headline
from engine.session import Session
from engine.spending import Spend, spend
from engine.wording import fill


@dataclass(frozen=True)
class Search:
    """One search for the fault, up to the repair it led to: what was newly found, the verdict, the reasoning.

    `open` are questions to which the answer was `cannot tell`.
    """

    found: tuple[Found, ...]
    open: tuple[str, ...]
    verdict: Document
    because: tuple[str, ...]
    graph: Graph
    attempt: Attempt | None


@dataclass(frozen=True)
class Said:
    """A remark, and when it was made."""

    text: str
    time: datetime


@dataclass(frozen=True)
class Source:
    """Where something used in this job comes from, and how well it is known."""

    title: str
    status: str


@dataclass(frozen=True)
class Report:
    """All that is told of a job.

    `note` is what is said about prices; `fasteners` all that came off; `category` the stamp of the light source.
    """

    job: str
    headline: str
    closed: bool
    begun: datetime | None
    ended: datetime | None
    days: int
    about: tuple[Found, ...]
    searches: tuple[Search, ...]
    odds: Odds
    cured: bool
    category: str
    bought: tuple[Offer, ...]
    not_bought: tuple[NotBought, ...]
    spend: Spend
    causes: tuple[Cause, ...]
    looked_into: tuple[Found, ...]
    fasteners: tuple[Fastener, ...]
    aim: Aim | None
    cautions: tuple[Danger, ...]
    remarks: tuple[Said, ...]
    sources: tuple[Source, ...]
    note: str


def compose(base: Base, job: str, happened: Iterable[Happened]) -> Report:
    """The record of a job from all that happened in it, under this base; what no longer fits is passed over."""
    played = moments(base, happened)
    end = played[-1].after if played else Session(base)
    spans = _spans(played)
    searches, before = [], None
    for span in spans:
        searches.append(_search(span, before))
        before = _standing(span)
    stands = [_standing(span) for span in spans] or [end]
    times = records.times(played)
    mending = end.mending
    return Report(
        job=job,
        headline=headline(stands[0]),
        closed=mending.closed,
        begun=played[0].time if played else None,
        ended=played[-1].time if played else None,
        days=len({one.time.date() for one in played}),
        about=records.circumstances(stands[0], times),
        searches=tuple(searches),
        odds=odds(played),
        cured=mending.cured,
        category=mending.category,
        bought=buying.offers(base, end.prices, _repairs(end)),
        not_bought=_not_bought(stands, _repairs(end)),
        spend=spend(end),
        causes=records.causes(end),
        looked_into=records.found(end, stands[-1], times) if mending.cured else (),
        fasteners=mending.log,
        aim=records.aim_of(mending),
        cautions=_cautions(base, played, stands),
        remarks=tuple(Said(one.event.text, one.time) for one in played if isinstance(one.event, Remarked)),
        sources=_sources(base, (*stands, end)),
        note=base.roles.invented,
    )


def _spans(played: Sequence[Moment]) -> list[list[Moment]]:
    """The moments of each search: it ends with a repair that did not cure, before a turn, or with the job."""
    spans: list[list[Moment]] = [[]]
    for one in played:
        if isinstance(one.event, Turned):
            spans.append([])
            continue
        spans[-1].append(one)
        if isinstance(one.event, Judged) and one.before.mending.hand is not None and one.after.mending.hand is None:
            spans.append([])
    return [span for span in spans if span]


def _begun(span: Sequence[Moment]) -> int | None:
    """Where in a span the repair was begun that was judged, or is in hand."""
    last = span[-1]
    hand = last.before.mending.hand if isinstance(last.event, Judged) else last.after.mending.hand
    if hand is None and last.after.mending.hand is None:
        return None
    return max((index for index, one in enumerate(span) if isinstance(one.event, Begun)), default=None)


def _standing(span: Sequence[Moment]) -> Session:
    """The session on which the search stood at its end: before its repair was begun, or the last."""
    begun = _begun(span)
    return span[-1].after if begun is None else span[begun].before


def _search(span: Sequence[Moment], before: Session | None) -> Search:
    session = _standing(span)
    begun = _begun(span)
    times = records.times(span)
    told = records.found(session, before, times)
    if before is None:  # what is known of the vehicle stands at the head of the report
        told = tuple(one for one in told if one.question not in session.base.circumstances)
    return Search(
        found=tuple(one for one in told if one.known),
        open=tuple(one.title for one in told if not one.known),
        verdict=document(session),
        because=_because(session),
        graph=argument.argue(session),
        attempt=records.attempt(span[begun:]) if begun is not None else None,
    )


def _because(session: Session) -> tuple[str, ...]:
    """Why the verdict is what it is: rules that stop or prove, or what speaks most for the leading fault."""
    rules = session.base.rules
    if session.verdict.stopped_by:
        return tuple(dict.fromkeys(rules[one.rule.id].because for one in session.verdict.stopped_by))
    if not session.verdict.faults:
        return ()
    fault = session.verdict.faults[0]
    proofs = session.reasoning.proofs.get(fault, ())
    if proofs:
        return tuple(dict.fromkeys(rules[one.rule.id].because for one in proofs))
    return explanation.grounds(session, fault)[:3]


def _repairs(session: Session) -> tuple[str, ...]:
    """The repairs of the job, each once: those done and the one in hand."""
    hand = session.mending.hand.repairs if session.mending.hand else ()
    done = [name for repairs in session.mending.attempts for name in repairs]
    return tuple(dict.fromkeys((*done, *hand)))


def _not_bought(stands: Iterable[Session], done: Sequence[str]) -> tuple[NotBought, ...]:
    found: dict[str, NotBought] = {}
    for session in stands:
        found.update((name, buying.not_bought(session, name)) for name in session.verdict.not_to_buy)
    return tuple(one for name, one in found.items() if name not in done)


def _cautions(base: Base, played: Iterable[Moment], stands: Iterable[Session]) -> tuple[Danger, ...]:
    """The cautions that were given: those acknowledged, with questions and repairs, and those that rules brought up."""
    names: dict[str, None] = {}
    last = Session(base)
    for one in played:
        last = one.after
        match one.event:
            case Answered(question=question) if question in base.questions:
                names.update(dict.fromkeys(base.questions[question].cautions))
            case Acknowledged(cautions=cautions):
                names.update((name, None) for name in cautions if name in base.cautions)
            case Begun(repairs=repairs):
                known = [base.repairs[name].dangers for name in repairs if name in base.repairs]
                names.update((name, None) for cautions in known for name in cautions)
    names.update((name, None) for session in stands for name in session.verdict.cautions)
    found = [(name, base.cautions[name]) for name in names]
    return tuple(Danger(name, entry.name, fill(last, entry.say), entry.serious) for name, entry in found)


def _sources(base: Base, sessions: Iterable[Session]) -> tuple[Source, ...]:
    """Where the rules that fired, and the cautions they gave, come from."""
    names = dict.fromkeys(
        source
        for session in sessions
        for firing in session.reasoning.firings
        for source in base.rules[firing.rule.id].source
    )
    return tuple(Source(base.sources[name].title, base.sources[name].status) for name in names)
