"""A repair in hand as a value: its tasks in order, what was taken off, the proof, and the repairs that did not cure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias

from engine import schema, vehicle
from engine.base import Base
from engine.costs import Opened, Prices, way
from engine.steps import Answer, Beware, HowIsIt, Remeasure, SetAim, Stage, Step, Task, Work
from engine.vehicle import Vehicle
from engine.verdict import Verdict

Result: TypeAlias = Literal["works", "unchanged", "changed"]
Seen: TypeAlias = Literal["found", "not", "mended", "later"]


@dataclass(frozen=True)
class Fastener:
    """Something taken off: what, how many, and where it lies."""

    what: str
    count: int = 1
    place: str = ""


@dataclass(frozen=True)
class Frame:
    """What the aim is set against: the rule with its title, height and distance in m, slopes negative downwards."""

    rule: str
    title: str
    height: float
    distance: float
    limits: tuple[float, float]
    target: float


@dataclass(frozen=True)
class Hand:
    """A repair in hand: what it is for, the verdict it was begun under, and how far it has come.

    `done` counts the tasks of work, then those of proof. `again` are the answers given after the repair to the
    questions of `asked`. `result` is None until the proof has been judged.
    """

    repairs: tuple[str, ...]
    faults: tuple[str, ...]
    verdict: Verdict
    work: tuple[Task, ...]
    proof: tuple[Task, ...]
    asked: tuple[str, ...] = ()
    done: int = 0
    again: Mapping[str, Answer] = field(default_factory=dict)
    result: Result | None = None


@dataclass(frozen=True)
class Tried:
    """A repair that did not cure: what it was for, how the lamp was then, and the answers that were dropped for it."""

    repairs: tuple[str, ...]
    faults: tuple[str, ...]
    result: Result
    verdict: Verdict
    dropped: Mapping[str, Answer]
    again: Mapping[str, Answer]


@dataclass(frozen=True)
class Mending:
    """The job around the diagnosis. `taken` is what is off or open now, last on top; `log` is all that ever came off.

    `seen` says what became of root causes, `vehicle` how it is opened up, `category` the stamp of the light source,
    `readings` the heights in m at which the cut-off was read, the last being the last.
    """

    hand: Hand | None = None
    tried: tuple[Tried, ...] = ()
    taken: tuple[str | Fastener, ...] = ()
    log: tuple[Fastener, ...] = ()
    seen: Mapping[str, Seen] = field(default_factory=dict)
    vehicle: Vehicle = field(default_factory=Vehicle)
    category: str = ""
    frame: Frame | None = None
    readings: tuple[float, ...] = ()
    aimed: bool = False
    closed: bool = False

    @property
    def cured(self) -> bool:
        """Whether the lamp works since the repair in hand."""
        return self.hand is not None and self.hand.result == "works"

    @property
    def opened(self) -> Opened:
        """The states of access that are open."""
        return frozenset(one for one in self.taken if isinstance(one, str))

    @property
    def attempts(self) -> tuple[tuple[str, ...], ...]:
        """The repairs of each attempt that did not cure."""
        return tuple(one.repairs for one in self.tried)

    @property
    def repaired(self) -> frozenset[str]:
        """The repairs that have been done, whatever came of them."""
        return frozenset(name for repairs in self.attempts for name in repairs)

    @property
    def causes(self) -> tuple[str, ...]:
        """The causes that rules had brought up when each repair was begun."""
        verdicts = [*(one.verdict for one in self.tried), *([self.hand.verdict] if self.hand else [])]
        return tuple(dict.fromkeys(cause for verdict in verdicts for cause in verdict.causes))


def begin(
    mending: Mending, base: Base, prices: Prices, repairs: Sequence[str], faults: Sequence[str],
    verdict: Verdict, opened: Opened, asked: Sequence[str],
) -> Mending:  # fmt: skip
    """The state with this repair in hand; what the tests opened counts as open."""
    before = [state for state in base.access if state in opened and state not in mending.opened]
    taken = (*before, *mending.taken)
    work: list[Task] = []
    reached = set(opened)
    for name in repairs:
        repair = base.repairs[name]
        for state in way(base, repair.access):
            if state not in reached:
                work.append(_opening(mending, base, prices, state))
                reached.add(state)
        work += [_task("do", name, step) for step in repair.steps]
    proof = [_task("prove", name, step) for name in repairs for step in base.repairs[name].proof]
    hand = Hand(tuple(repairs), tuple(faults), verdict, tuple(work), tuple(proof), tuple(asked))
    return replace(mending, hand=hand, taken=taken, aimed=False, closed=False)


def _task(stage: Stage, repair: str, step: schema.RepairStep) -> Task:
    return Task(stage, repair, step.do, cautions=step.cautions, tools=step.tools)


def _opening(mending: Mending, base: Base, prices: Prices, state: str) -> Task:
    entry = base.access[state]
    minutes = prices.access.get(state, entry.minutes)
    return Task("open", state, vehicle.words(base, mending.vehicle, state), minutes, entry.cautions)


def next_step(mending: Mending, base: Base, acknowledged: frozenset[str]) -> Step | None:
    """What to do next with the repair in hand until it is judged; None when there is none, or when it is judged."""
    hand = mending.hand
    if hand is None or hand.result is not None:
        return None
    unread = _unread(base, before_all(base, hand), acknowledged)
    if unread:
        return Beware(unread, hand.repairs)
    needed = [base.repairs[name].access for name in hand.repairs]
    telling = vehicle.to_tell(base, mending.vehicle, needed, mending.opened)
    if telling is not None:
        return telling
    if hand.done < len(hand.work):
        return _warned(base, hand, Work(hand.work[hand.done], hand.done + 1, len(hand.work)), acknowledged)
    for question in hand.asked:
        if question not in hand.again:
            return Remeasure(question)
    proved = hand.done - len(hand.work)
    if proved < len(hand.proof):
        return _warned(base, hand, Work(hand.proof[proved], proved + 1, len(hand.proof)), acknowledged)
    return HowIsIt()


def _warned(base: Base, hand: Hand, step: Work, acknowledged: frozenset[str]) -> Work | Beware:
    """The task, or what has to be acknowledged just before it."""
    unread = _unread(base, step.task.cautions, acknowledged)
    return Beware(unread, hand.repairs, step.task) if unread else step


def _unread(base: Base, names: Iterable[str], acknowledged: frozenset[str]) -> tuple[str, ...]:
    return tuple(name for name in names if base.cautions[name].serious and name not in acknowledged)


def before_all(base: Base, hand: Hand) -> tuple[str, ...]:
    """The cautions of the repairs in hand that belong to none of their steps: they come before all of them."""
    at_steps = {name for task in (*hand.work, *hand.proof) for name in task.cautions}
    named = (name for repair in hand.repairs for name in base.repairs[repair].cautions)
    return tuple(dict.fromkeys(name for name in named if name not in at_steps))


def after_cure(mending: Mending, base: Base) -> Step | None:
    """What is left to do when the lamp works and its causes have been looked at: refit, then aim. None when all is."""
    if mending.taken:
        return Work(_back(base, mending.taken[-1]), 1, len(mending.taken))
    if touched(mending, base) and not mending.aimed:
        return SetAim(mending.frame is not None)
    return None


def _back(base: Base, one: str | Fastener) -> Task:
    if isinstance(one, str):
        return Task("refit", one, f"Put back what was opened: {base.access[one].name}.")
    lies = f" It lies here: {one.place}." if one.place else ""
    return Task("refit", "", f"Put back: {one.count} x {one.what}.{lies}")


def refitting(mending: Mending, base: Base) -> tuple[Task, ...]:
    """Everything that is off or open, in the order in which it goes back: the last that came off first."""
    return tuple(_back(base, one) for one in reversed(mending.taken))


def touched(mending: Mending, base: Base) -> str:
    """What of the beam was moved by the repairs done: the lamp, the source, or nothing."""
    hand = mending.hand.repairs if mending.hand else ()
    found = {base.repairs[name].touches for name in (*mending.repaired, *hand)}
    return next((part for part in ("lamp", "source") if part in found), "")


def did(mending: Mending, stage: Stage, step: Step) -> Mending:
    """The state after the task at hand was done; the same state when the step is of another stage."""
    match step:
        case Work(task=task) if task.stage == stage == "refit":
            return replace(mending, taken=mending.taken[:-1])
        case Work(task=task) if task.stage == stage and mending.hand is not None:
            opened = (task.of,) if stage == "open" else ()
            hand = replace(mending.hand, done=mending.hand.done + 1)
            return replace(mending, hand=hand, taken=(*mending.taken, *opened))
        case SetAim() if stage == "aim":
            return replace(mending, aimed=True)
    return mending


def took_off(mending: Mending, one: Fastener) -> Mending:
    """The state after something was taken off."""
    return replace(mending, taken=(*mending.taken, one), log=(*mending.log, one))


def remeasured(mending: Mending, question: str, answer: Answer) -> Mending:
    """The state after a question was asked again behind the repair."""
    hand = mending.hand
    if hand is None:
        return mending
    return replace(mending, hand=replace(hand, again={**hand.again, question: answer}))


def give_up(mending: Mending, dropped: Mapping[str, Answer], result: Result) -> Mending:
    """The state after the repair in hand turned out not to cure; what is off stays off."""
    hand = mending.hand
    if hand is None:
        return mending
    tried = Tried(hand.repairs, hand.faults, result, hand.verdict, dropped, hand.again)
    return replace(mending, hand=None, tried=(*mending.tried, tried), closed=False)
