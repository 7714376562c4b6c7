"""A job of two faults over several sittings: whatever moment the program dies at, it goes on exactly there."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from engine.events import Answered, Event, Priced, PutOff, dump, read
from engine.journal import Journal
from engine.mend_events import (
    AimRead,
    Begun,
    CauseLooked,
    Closed,
    Fastened,
    Framed,
    Judged,
    Marked,
    Remeasured,
    RepairLeft,
    StepDone,
)  # fmt: skip
from engine.replay import replay
from engine.session import Ask, End, Session
from engine.spending import beginning, given, spend
from engine.steps import Cured, Inspect, SetAim, Work
from engine.vehicle_events import AccessNoted
from shell.keeping import Keeper
from tests.mending.base import BROKEN, after, mending_base, through

FRAME = Framed("a-rule", "A rule, invented", 0.65, 10.0, (-0.025, -0.005), -0.0125)


def job() -> Iterator[Event]:
    """Every event of a job: a bulb renewed in vain, the plug found behind it, mended, proved, aimed and closed."""
    session = Session(mending_base())

    def taken(*events: Event) -> Iterator[Event]:
        nonlocal session
        for event in events:
            session = after([event], session)
            yield event

    yield from taken(*BROKEN, Marked("H7"), Priced("parts", "new-bulb", 9), Begun(("new-bulb",)))
    yield from taken(Fastened("torx screw", 3, "red lid"), AccessNoted("out", "Two bolts."))
    session, events = through(session, "unchanged", again="low")
    yield from events
    yield from taken(Answered("plug-look", "green"), Begun(("new-plug",)), Fastened("clip"))
    session, events = through(session, "works")
    yield from events
    while isinstance(session.step, Ask):
        yield from taken(PutOff(session.step.question))
    yield from taken(CauseLooked("water", "found"), CauseLooked("water", "mended"))
    yield from taken(*(CauseLooked(cause, "not") for cause in session.open_causes))
    while isinstance(session.step, Work):
        yield from taken(StepDone("refit", session.step.task.text))
    yield from taken(FRAME, AimRead(0.58), AimRead(0.525), StepDone("aim"), Closed())


JOB = tuple(job())


def test_the_job_ends_cured_aimed_and_closed() -> None:
    """Both repairs are on record, nothing is off, the wall was read twice, and the first answers are still known."""
    session = after(JOB)
    assert session.step == Cured((), closed=True)
    state = session.mending
    assert [one.repairs for one in state.tried] == [("new-bulb",)] and state.hand is not None
    assert state.hand.repairs == ("new-plug",) and not state.taken and len(state.log) == 2
    assert state.readings == (0.58, 0.525) and state.aimed
    assert dict(given(session))["bulb-look"].outcome == "broken"


@pytest.mark.parametrize("number", range(1, len(JOB) + 1))
def test_every_prefix_comes_back_as_it_stood(number: int) -> None:
    """Kept as text and played again after any event, the job asks for the same next thing in the same state."""
    there = after(JOB[:number])
    back = replay(mending_base(), [read(dump(event)) for event in JOB[:number]])
    assert back.step == there.step and back.mending == there.mending and back.answers == there.answers


def test_every_event_of_a_repair_is_in_the_job() -> None:
    """The job above would show it if one kind of event could not be kept."""
    kinds = {type(event) for event in JOB}
    left = {Fastened, AccessNoted, Begun, StepDone, Remeasured, Judged, CauseLooked, Marked, Framed, AimRead, Closed}
    assert left <= kinds and RepairLeft not in kinds
    assert read(dump(RepairLeft())) == RepairLeft()


def test_a_new_program_at_every_event(tmp_path: Path) -> None:
    """Each event written by a keeper of its own, as after a crash each time: nothing is lost and the job is closed."""
    path = tmp_path / "journal.sqlite"
    number: int | None = None
    for event in JOB:
        with Journal(path) as journal:
            keeper = Keeper(journal, number)
            kept = keeper.keep(keeper.load(mending_base()), [event])
            assert kept.trouble is None
            number = keeper.job
    with Journal(path) as journal:
        assert number is not None
        (listed,) = journal.jobs()
        back = replay(mending_base(), (entry.event for entry in journal.entries(number)))
    assert listed.state == "closed" and listed.events == len(JOB)
    assert back.mending == after(JOB).mending


def test_what_the_tests_saved_is_counted_from_the_start() -> None:
    """The job starts from the first complaint, counts dropped answers, and compares by the repairs that were needed."""
    session = after(JOB)
    start = beginning(session)
    assert start.complaint == "dead" and not start.findings.keys() - start.told.keys()
    found = spend(session)
    assert found.ahead == 0 and found.in_order is not None and found.saved is not None
    assert found.saved == pytest.approx(found.in_order - found.money - found.repairs)
    alone = spend(after([*BROKEN, Answered("plug-look", "green")]))
    assert found.money >= alone.money  # the readings that went stale cost their minutes all the same
    assert found.repairs > spend(after(JOB[: JOB.index(Judged("unchanged")) + 1])).repairs > 0


def test_before_the_cure_nothing_is_said_to_be_saved() -> None:
    """What was needed is not known until the lamp works."""
    assert spend(after(BROKEN)).saved is None


def test_names_that_a_newer_base_lacks_are_passed_over() -> None:
    """A repair, cause or question that is gone does no harm to the rest."""
    odd: list[Event] = [Begun(("gone",)), Begun(()), CauseLooked("gone", "found"), Remeasured("gone", "x")]
    odd.append(AccessNoted("gone", "x"))
    session = after([*BROKEN, *odd])
    assert session.mending == after(BROKEN).mending and isinstance(session.step, End)


def test_the_steps_of_the_job_are_all_of_the_kinds_there_are() -> None:
    """The job above passes every kind of step behind the verdict."""
    kinds = {type(after(JOB[:number]).step).__name__ for number in range(len(BROKEN), len(JOB) + 1)}
    assert {"Beware", "Work", "Remeasure", "HowIsIt", Inspect.__name__, SetAim.__name__, "Cured"} <= kinds
