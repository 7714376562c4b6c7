"""Where a session stands, as one document of plain values: what `--json` prints and what every front end may read."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import Field, TypeAdapter
from pydantic.dataclasses import dataclass

from engine import explanation
from engine.costs import question_minutes
from engine.givens import foretold
from engine.session import Ask, End, Fill, Session, Warn
from engine.spending import Spend, spend
from engine.steps import Cured, Remeasure, SetAim, Work
from engine.turning import unexplained
from engine.verdict import Action, Certainty, Kind
from engine.wording import accepts, fault_name, fill, outcome_words, repairs_name, title

SUSPECTS = 12
Phase: TypeAlias = Literal["search", "mend", "prove", "cause", "refit", "aim", "cured", "closed"]


@dataclass(frozen=True)
class Suspect:
    """A fault that is still worth naming."""

    fault: str
    name: str
    share: Annotated[float, Field(description="probability, 0 to 1")]
    excluded_by: Annotated[tuple[str, ...], Field(description="ids of the rules that exclude it as plain logic")]


@dataclass(frozen=True)
class Doing:
    """A repair to try, in the order in which to try it."""

    repairs: tuple[str, ...]
    name: str
    faults: tuple[str, ...]
    share: Annotated[float, Field(description="how likely it cures, 0 to 1")]
    cost: Annotated[float, Field(description="part, minutes and access, in u")]
    buy: Annotated[tuple[str, ...], Field(description="what to ask for at the counter")]
    never: Annotated[tuple[str, ...], Field(description="what must not be fitted instead")]


@dataclass(frozen=True)
class Choice:
    """An outcome that may be answered."""

    outcome: str
    say: str


@dataclass(frozen=True)
class Next:
    """The next question, with all that is needed to answer it."""

    question: str
    title: str
    ask: str
    do: tuple[str, ...]
    trap: str
    unit: str
    accepts: Annotated[str, Field(description="what may be typed beside an outcome; empty when only outcomes are")]
    sound: Annotated[str, Field(description="what a sound car would show, where physics has a say")]
    minutes: float
    tools: tuple[str, ...]
    cautions: tuple[str, ...]
    again: Annotated[
        bool, Field(description="answered before, and likely a slip, as it goes ill with the other answers")
    ]
    outcomes: tuple[Choice, ...]


@dataclass(frozen=True)
class Danger:
    """A caution that applies."""

    caution: str
    name: str
    say: str
    serious: bool


@dataclass(frozen=True)
class Cause:
    """A root cause worth looking at, so that the new part lives."""

    cause: str
    name: str
    look: str
    mend: str
    seen: Annotated[
        Literal["", "found", "not", "mended", "later"], Field(description="what became of it; empty: not looked at")
    ] = ""


@dataclass(frozen=True)
class Repaired:
    """A repair that was done, or is in hand."""

    repairs: tuple[str, ...]
    name: str
    faults: Annotated[tuple[str, ...], Field(description="the faults it was for")]
    result: Annotated[Literal["", "works", "unchanged", "changed"], Field(description="empty while it is in hand")]
    stale: Annotated[tuple[str, ...], Field(description="questions whose answers no longer hold after it")]
    remeasured: Annotated[tuple[str, ...], Field(description="questions answered again behind it")]


@dataclass(frozen=True)
class Contradiction:
    """Answers that cannot all be true."""

    questions: tuple[str, ...]
    answers: tuple[str, ...]
    rules: tuple[str, ...]
    suspect: Annotated[str, Field(description="the answer most likely to be the slip")]


@dataclass(frozen=True)
class Document:
    """Where the answers leave things."""

    verdict: Kind
    certainty: Certainty
    final: Annotated[bool, Field(description="true when no further question is worth its cost")]
    faults: Annotated[tuple[str, ...], Field(description="the faults the verdict is about")]
    share: Annotated[float, Field(description="their probability together, 0 to 1")]
    unknown: Annotated[float, Field(description="probability that the fault is outside what is known here")]
    against_logic: Annotated[bool, Field(description="the odds favour a fault that a rule excludes: check answers")]
    suspects: tuple[Suspect, ...]
    actions: tuple[Doing, ...]
    tries: Annotated[int, Field(description="after so many of the actions it is cheaper to hand the job on")]
    covered: Annotated[bool, Field(description="true when somebody else has to mend the lamp at no charge")]
    hand_on: Annotated[float, Field(description="what handing the job on costs beside the repair, in u")]
    not_to_buy: tuple[str, ...]
    unexplained: Annotated[str, Field(description="another complaint, where what was found does not explain it")]
    next: Annotated[tuple[Next, ...], Field(description="the question to answer now; several when they form a table")]
    phase: Annotated[
        Phase, Field(description="where the job stands: the search for the fault, or how far its repair has come")
    ]
    task: Annotated[str, Field(description="what to do now, while a repair is in hand")]
    repaired: Annotated[tuple[Repaired, ...], Field(description="repairs done in order; the last may be in hand")]
    causes: tuple[Cause, ...]
    causes_open: Annotated[tuple[str, ...], Field(description="root causes still to be looked at or mended")]
    cautions: tuple[Danger, ...]
    clash: Contradiction | None
    trace: explanation.Trace
    spend: Spend


@cache
def _adapter() -> TypeAdapter[Document]:
    return TypeAdapter(Document)


def json_schema() -> dict[str, Any]:
    """The JSON Schema of the document."""
    return _adapter().json_schema(mode="serialization")


def to_json(document: Document) -> str:
    """The document as JSON."""
    return _adapter().dump_json(document, indent=2).decode()


def document(session: Session) -> Document:
    """Where a session stands."""
    verdict, step, base = session.verdict, session.step, session.base
    exclusions = session.reasoning.exclusions
    suspects = tuple(
        Suspect(
            fault, fault_name(base, fault), share, tuple(dict.fromkeys(f.rule.id for f in exclusions.get(fault, ())))
        )
        for fault, share in session.belief.ranking()[:SUSPECTS]
    )
    return Document(
        verdict=verdict.kind,
        certainty=verdict.certainty,
        final=isinstance(step, End) or session.mending.hand is not None,
        faults=verdict.faults,
        share=verdict.share,
        unknown=session.belief.unknown,
        against_logic=verdict.against_logic,
        suspects=suspects,
        actions=tuple(_doing(session, action) for action in verdict.actions[:SUSPECTS] if action.share >= 0.005),
        tries=verdict.tries,
        covered=session.covered,
        hand_on=session.rates.setting(base, "referral-price"),
        not_to_buy=tuple(base.repairs[name].name for name in verdict.not_to_buy),
        unexplained=left.complaint if (left := unexplained(session)) else "",
        next=asked(session),
        phase=phase(session),
        task=fill(session, step.task.text) if isinstance(step, Work) else "",
        repaired=repaired(session),
        causes=_causes(session),
        causes_open=session.open_causes if session.mending.hand is not None else (),
        cautions=_dangers(session, verdict.cautions),
        clash=_contradiction(session),
        trace=explanation.trace(session),
        spend=spend(session),
    )


def phase(session: Session) -> Phase:
    """Where the job stands."""
    state, step = session.mending, session.step
    if state.closed:
        return "closed"
    if state.hand is None:
        return "search"
    if state.hand.result is None:
        return "mend" if state.hand.done < len(state.hand.work) else "prove"
    match step:
        case Work():
            return "refit"
        case SetAim():
            return "aim"
        case Cured():
            return "cured"
    return "cause"


def repaired(session: Session) -> tuple[Repaired, ...]:
    """The repairs of the job in order, the one in hand last."""
    state, base = session.mending, session.base
    found = [
        Repaired(
            one.repairs, repairs_name(base, one.repairs), one.faults, one.result, tuple(one.dropped), tuple(one.again)
        )
        for one in state.tried
    ]
    hand = state.hand
    if hand is not None:
        name = repairs_name(base, hand.repairs)
        found.append(Repaired(hand.repairs, name, hand.faults, hand.result or "", (), tuple(hand.again)))
    return tuple(found)


def _causes(session: Session) -> tuple[Cause, ...]:
    """The causes that rules brought up, and those that were looked at."""
    state, base = session.mending, session.base
    names = dict.fromkeys((*state.causes, *session.verdict.causes, *state.seen))
    entries = ((name, base.causes[name]) for name in names)
    return tuple(Cause(name, one.name, one.look, one.mend, state.seen.get(name, "")) for name, one in entries)


def _contradiction(session: Session) -> Contradiction | None:
    clash = session.clash
    if clash is None:
        return None
    answers = tuple(
        f"{title(session, name)}: {outcome_words(session, name, session.told[name])}" for name in clash.questions
    )
    rules = tuple(dict.fromkeys(firing.rule.id for firing in clash.firings))
    return Contradiction(clash.questions, answers, rules, clash.suspect)


def asked(session: Session) -> tuple[Next, ...]:
    """The open questions of the next step."""
    step = session.step
    if isinstance(step, Ask):
        return (next_of(session, step.question, step.again),)
    if isinstance(step, Remeasure):
        return (next_of(session, step.question, again=True),)
    if isinstance(step, Fill):
        return tuple(next_of(session, item) for item in step.items)
    if isinstance(step, Warn):
        return (next_of(session, step.question),)
    return ()


def next_of(session: Session, question: str, again: bool = False) -> Next:
    """A question with all that is needed to answer it."""
    entry, base = session.base.questions[question], session.base
    return Next(
        question=question,
        title=title(session, question),
        ask=fill(session, entry.ask),
        do=tuple(fill(session, line) for line in entry.do),
        trap=fill(session, entry.trap or ""),
        unit=entry.unit or "",
        accepts=accepts(entry),
        sound=foretold(session, question),
        minutes=question_minutes(base, session.prices, question, session.opened),
        tools=tuple(base.tools[name].name for name in entry.tools),
        cautions=tuple(base.cautions[name].say for name in session.dangers(question)),
        again=again,
        outcomes=tuple(Choice(name, fill(session, outcome.say)) for name, outcome in entry.outcomes.items()),
    )


def _dangers(session: Session, ruled: tuple[str, ...]) -> tuple[Danger, ...]:
    """Cautions that rules brought up, and those of the repair that comes first, where it is one's own to do."""
    base = session.base
    first = session.verdict.actions[:1] if isinstance(session.step, End) and not session.covered else ()
    names = [*ruled, *(name for one in first for repair in one.repairs for name in base.repairs[repair].dangers)]
    return tuple(
        Danger(name, base.cautions[name].name, base.cautions[name].say, base.cautions[name].serious)
        for name in dict.fromkeys(names)
    )


def _doing(session: Session, action: Action) -> Doing:
    base = session.base
    parts = [base.repairs[name].part for name in action.repairs]
    return Doing(
        action.repairs,
        repairs_name(base, action.repairs),
        action.faults,
        action.share,
        action.cost,
        tuple(part.ask_for for part in parts if part),
        tuple(part.never for part in parts if part and part.never),
    )
