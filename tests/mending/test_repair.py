"""A repair in hand: dangers first, its tasks in order, the proof, and everything back where it was."""

from hypothesis import given
from hypothesis import strategies as st

from engine.costs import Prices
from engine.events import Acknowledged, Answered, Event, Priced
from engine.mend_events import Begun, Fastened, Judged, Remeasured, RepairLeft, StepDone
from engine.mending import refitting
from engine.session import Ask, Session
from engine.steps import Beware, Cured, End, HowIsIt, Remeasure, Task, Work
from engine.vehicle_events import AccessNoted, VehicleNamed
from tests.mending.base import BROKEN, TOLD, after, mending_base, no_cause, through, tried

READ = Acknowledged(("spark",))


def begun(*more: object) -> Session:
    """The bulb being renewed, its dangers read."""
    return after([*BROKEN, Begun(("new-bulb",)), READ])


def task(session: Session) -> Task:
    """The task at hand."""
    assert isinstance(session.step, Work)
    return session.step.task


def test_serious_dangers_are_read_before_the_first_step() -> None:
    """Nothing is opened before they are acknowledged; those read during the search are not asked for again."""
    session = after([*BROKEN, Begun(("new-bulb",))])
    assert session.step == Beware(("spark",), ("new-bulb",))
    assert isinstance(after([READ], session).step, Work)
    assert isinstance(after([*BROKEN, READ, Begun(("new-bulb",))]).step, Work)


def test_tasks_come_in_order_and_open_only_what_is_shut() -> None:
    """The bonnet is open from the tests; the lamp comes out, then steps, readings, proof, and how it is."""
    session, events = through(begun(), "works")
    stages = [event.stage for event in events if isinstance(event, StepDone)]
    assert stages == ["open", "do", "do", "prove", "prove"]
    kinds = [event.kind for event in events]
    assert kinds.index("remeasured") == 3 and kinds[-1] == "proof-result"
    assert session.opened == {"open", "out"}


def test_only_measured_answers_that_spoke_for_the_fault_are_asked_again() -> None:
    """The meter's endless reading is; a look without an instrument is not, nor a reading that spoke for nothing."""
    session = after([*BROKEN, Answered("volts", "none"), Begun(("new-bulb",))])
    assert session.mending.hand is not None and session.mending.hand.asked == ("ohms",)


def test_a_vehicles_own_minutes_and_words_are_used() -> None:
    """What was noted once of how this car opens stands in the next repair, with the person's own minutes."""
    told: list[Event] = [AccessNoted("out", "Two bolts and a hook."), Priced("access", "out", 45)]
    session = after([*BROKEN, *told, VehicleNamed(""), Begun(("new-bulb",)), READ])
    assert task(session) == Task("open", "out", "Two bolts and a hook.", 45)
    assert mending_base().access["out"].minutes != 45 and session.prices == Prices(access={"out": 45})


def test_a_step_of_another_stage_is_not_taken_for_this_one() -> None:
    """An event that no longer fits, as after the rules changed, leaves the work where it is."""
    session = begun()
    assert after([StepDone("prove")], session).mending == session.mending


@given(st.lists(st.tuples(st.sampled_from("abc"), st.integers(1, 9), st.sampled_from(["", "tin", "seat"])), max_size=6))
def test_what_came_off_goes_back_last_first(things: list[tuple[str, int, str]]) -> None:
    """The log is read back exactly reversed, each with its count and place, whatever was taken off and when."""
    session = begun()
    for index, (what, count, place) in enumerate(things):
        session = after([Fastened(what, count, place)], session)
        if index == 1:
            session = after([StepDone("open")], session)
    wanted = [f"{count} x {what}" for what, count, _ in reversed(things)]
    texts = [one.text for one in refitting(session.mending, session.base)]
    assert [text.split("Put back: ")[1].split(".")[0] for text in texts if "Put back: " in text] == wanted
    assert all(f"here: {place}." in " ".join(texts) for _, _, place in things if place)
    cured = no_cause(through(session, "works")[0])
    seen = []
    while isinstance(cured.step, Work):
        seen.append(cured.step.task.text)
        cured = after([StepDone("refit")], cured)
    assert [text for text in seen if "Put back: " in text] == [text for text in texts if "Put back: " in text]
    assert not cured.mending.taken and len(cured.mending.log) == len(things)


def test_a_repair_left_undone_is_no_evidence_and_keeps_what_is_off() -> None:
    """Left half-way, the verdict stands as it was, and the screws are still noted."""
    before = after(BROKEN)
    session = after([Fastened("screw"), RepairLeft()], begun())
    assert isinstance(session.step, End) and session.verdict.faults == before.verdict.faults
    assert session.mending.log and not session.mending.tried


def test_works_keeps_the_verdict_and_the_answers() -> None:
    """Once the lamp works, what is answered about the cause no longer moves the verdict."""
    before = after(BROKEN)
    session = after([Answered("plug-look", "green")], through(begun(), "works")[0])
    assert session.verdict.faults == before.verdict.faults and session.answers["ohms"] == before.answers["ohms"]


def test_not_cured_drops_what_went_through_the_repair() -> None:
    """The bulb's answers are gone and can be asked again; what did not go through it stays; the search goes on."""
    session = tried(after([*BROKEN, Answered("fuse-look", "whole")]), "new-bulb")
    assert set(session.mending.tried[0].dropped) == {"bulb-look", "ohms"}
    assert "fuse-look" in session.answers and session.open_to("ohms")
    assert session.verdict.faults != ("broken",) and isinstance(session.step, Ask)


def test_what_was_measured_behind_the_repair_counts() -> None:
    """A reading taken with the new part in place is evidence for the second fault, whether it is stale or not."""
    session = after([*BROKEN, Begun(("new-bulb",)), READ])
    session, _ = through(session, "unchanged", again="low")
    assert session.answers["ohms"].outcome == "low" and "broken" in session.reasoning.exclusions
    assert session.mending.tried[0].dropped["ohms"].outcome == "endless"


def test_a_changed_lamp_has_its_complaint_asked_anew() -> None:
    """The complaint, whether it shows and what was told of the old one are dropped, and the first is asked at once."""
    told = [*BROKEN, Answered("noise", "yes")]
    session = tried(after(told), "new-bulb", "changed")
    assert session.step == Ask("complaint") and session.complaint is None
    assert {"complaint", "showing", "noise"} <= set(session.mending.tried[0].dropped)
    assert after([Answered("complaint", "dim")], session).complaint == "dim"
    same = tried(after(told), "new-bulb")
    assert same.complaint == "dead" and "noise" in same.answers


def test_a_cure_that_does_not_last_reopens_the_search() -> None:
    """After it worked, the lamp fails again: the repair then counts as one that did not cure."""
    session, _ = through(begun(), "works")
    again = after([Judged("unchanged")], session)
    assert again.mending.tried and again.mending.hand is None and not again.mending.cured


def test_the_order_of_the_job_behind_the_proof() -> None:
    """Works: the cause while it is open, then put back, then the aim, then the end."""
    session = through(after([*TOLD, Answered("ohms", "endless"), Begun(("new-bulb",)), READ]), "works")[0]
    assert session.step == Ask("clip")
    session = no_cause(after([Answered("clip", "firm")], session))
    kinds = []
    while not isinstance(session.step, Cured):
        kinds.append(type(session.step).__name__)
        stage = session.step.task.stage if isinstance(session.step, Work) else "aim"
        session = after([StepDone(stage)], session)
    assert kinds == ["Work", "Work", "SetAim"]


def test_measuring_again_can_be_left_out() -> None:
    """`cannot tell` moves on and is no evidence."""
    session = begun()
    for stage in ("open", "do", "do"):
        session = after([StepDone(stage)], session)
    assert session.step == Remeasure("ohms")
    session = after([Remeasured("ohms", None), StepDone("prove"), StepDone("prove")], session)
    assert isinstance(session.step, HowIsIt)
    assert "ohms" not in after([Judged("unchanged")], session).told
