"""The small invented base with what a mended lamp needs: stale answers, dangers, causes, and something to aim."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache, reduce

from engine.base import Base
from engine.events import Acknowledged, Answered, Event, apply
from engine.mend_events import Begun, CauseLooked, Judged, Remeasured, StepDone
from engine.mending import Result
from engine.session import Session
from engine.steps import Beware, HowIsIt, HowOpened, NameVehicle, Remeasure, Work
from engine.vehicle_events import AccessNoted, VehicleNamed
from tests.small import TEXT, base_from

SWAPS = (
    (
        "new-plug: {name: fit a plug, minutes: 40,",
        "new-plug: {name: fit a plug, minutes: 40, stale: [plug-look, volts, clip],",
    ),
    (
        "new-bulb: {name: fit a bulb, minutes: 10,",
        "new-bulb: {name: fit a bulb, minutes: 10, touches: source, stale: [bulb-look, ohms], cautions: [hot, spark],",
    ),
    (
        "access: open, steps: [Fit it.], proof: [Try it.]",
        "access: out, steps: [Fit it., Lock it.], proof: [Try it., Knock.]",
    ),
    ("mode: open, repair: new-bulb}", "mode: open, repair: new-bulb, causes: [shaking, age]}"),
    ("mode: resistive, repair: new-plug}", "mode: resistive, repair: new-plug, causes: [water]}"),
    (
        "shaking: {name: shaking, look: The clip., mend: The clip.}",
        "shaking: {name: shaking, look: The clip., mend: The clip.}\n"
        "  age: {name: age, look: The other one., mend: Both.}\n"
        "  water: {name: water, look: The seal., mend: Seal it.}",
    ),
    (
        "forms:\n",
        "  clip: {kind: test, title: clip, ask: How is the clip?, minutes: 1, access: open,\n"
        "    outcomes: {firm: {say: Firm., usual: 0.9}, loose: {say: Loose.}}}\n"
        "  noise: {kind: symptom, title: noise, ask: A noise?, suits: {complaint: dead},\n"
        '    outcomes: {"no": {say: No.}, "yes": {say: Yes.}}}\n'
        "forms:\n",
    ),
    (
        "cases:\n",
        "  clip-loose: {when: {clip: loose}, advises: shaking, because: It shakes., source: invented}\n"
        "  green-water: {when: {plug-look: green}, advises: water, because: Water is green., source: invented}\n"
        '  noise-heard: {when: {noise: "yes"}, raises: {weak: green}, because: It crackles., source: invented}\n'
        "cases:\n",
    ),
)  # fmt: skip
TOLD: tuple[Event, ...] = tuple(
    Answered(question, outcome)
    for question, outcome in (
        ("kind", "lamp"), ("complaint", "dead"), ("showing", "yes"), ("light.other", "works"), ("have-meter", "yes"),
    )
)  # fmt: skip
BROKEN: tuple[Event, ...] = (*TOLD, Answered("bulb-look", "broken"), Answered("ohms", "endless"))


@cache
def mending_base() -> Base:
    """The base."""
    return base_from(reduce(lambda text, swap: text.replace(*swap), SWAPS, TEXT))


@cache
def varied_base() -> Base:
    """The same, with a lamp that comes out of every vehicle in another way."""
    text = reduce(lambda text, swap: text.replace(*swap), SWAPS, TEXT)
    return base_from(text.replace("within: open, minutes: 20", "within: open, minutes: 20, varies: yes"))


def after(events: Iterable[Event], session: Session | None = None) -> Session:
    """The session after events."""
    return reduce(apply, events, session or Session(mending_base()))


def through(session: Session, result: Result, again: str | None = None) -> tuple[Session, Sequence[Event]]:
    """A repair in hand worked through to its judgement, and the events of it; `again` answers what is asked again."""
    done: list[Event] = []
    while session.mending.hand is not None and session.mending.hand.result is None:
        match session.step:
            case Beware(cautions=cautions):
                event: Event = Acknowledged(cautions)
            case Work(task=task):
                event = StepDone(task.stage, task.text)
            case HowOpened(state=state):
                event = AccessNoted(state, "")
            case NameVehicle():
                event = VehicleNamed("van-12")
            case Remeasure(question=question):
                event = Remeasured(question, again)
            case HowIsIt():
                event = Judged(result)
            case step:
                raise AssertionError(step)
        done.append(event)
        session = apply(session, event)
    return session, done


def tried(session: Session, repair: str, result: Result = "unchanged") -> Session:
    """The session after a repair that did not cure."""
    return through(apply(session, Begun((repair,))), result)[0]


def no_cause(session: Session) -> Session:
    """The session after every open cause was looked at and none found."""
    return after((CauseLooked(cause, "not") for cause in session.open_causes), session)
