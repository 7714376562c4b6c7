"""How a vehicle is opened up: asked once, used from then on, and remembered under the name that the person gives it."""

from argparse import Namespace
from pathlib import Path

import pytest

from engine.events import Acknowledged, Amended, Answered, Event, Priced
from engine.journal import Journal
from engine.mend_events import Begun, StepDone
from engine.session import Ask, Session
from engine.steps import HowOpened, NameVehicle, WhichVehicle, Work
from engine.vehicle_events import AccessNoted, VehicleNamed, VehiclesKnown
from shell import keeping
from shell.commands import understand
from shell.layout import text_of
from shell.meanings import Do
from shell.names import Refusal
from shell.render_step import step_rows
from shell.vehicle_words import parts
from tests.mending.base import BROKEN, TOLD, after, varied_base
from tests.shell.jobs import hold

SAID = "two bolts on top, slide it forward, 25 min, 6 torx screws"
NOTED = AccessNoted("out", "two bolts on top, slide it forward", 25, "6 torx screws", "van-12")


def fresh(*events: Event) -> Session:
    """A job on the base on which lamps come out in different ways."""
    return after(events, Session(varied_base()))


def lamp_out(*before: Event) -> Session:
    """The bulb being renewed, the lamp just taken out."""
    return after([Begun(("new-bulb",)), Acknowledged(("spark",)), StepDone("open")], fresh(*before, *BROKEN))


def test_it_is_asked_once_the_lamp_is_out_and_can_be_left_out() -> None:
    """The person has just done it. Enter goes on with the repair, and it is not asked again in this job."""
    session = lamp_out()
    assert session.step == HowOpened("out")
    held = hold([""], session)
    assert isinstance(held.session.step, Work) and held.session.step.task.stage == "do" and not held.refused
    assert not held.session.mending.vehicle.told


def test_it_is_not_asked_before_the_lamp_is_out_or_of_a_lamp_that_is_always_alike() -> None:
    """What lies ahead is not known yet, and a bonnet is a bonnet."""
    session = after([Begun(("new-bulb",)), Acknowledged(("spark",))], fresh(*BROKEN))
    assert isinstance(session.step, Work) and session.step.task.of == "out"
    assert not varied_base().access["open"].varies and "open" in session.opened


def test_what_is_said_counts_in_minutes_and_words_and_then_a_name_is_asked() -> None:
    """Twenty-five minutes replace the shipped twenty, and the name comes after there is something to remember."""
    held = hold([SAID], lamp_out())
    assert held.session.prices.access == {"out": 25} and held.session.step == NameVehicle()
    held = hold([SAID, "van-12"], lamp_out())
    assert held.kept == [AccessNoted("out", NOTED.text, 25, NOTED.fasteners), VehicleNamed("van-12"), NOTED]
    assert isinstance(held.session.step, Work) and "kept for van-12" in held.text


def test_no_name_is_as_good() -> None:
    """Enter: the rest of this job uses it, nothing is remembered, and it is not asked again."""
    held = hold([SAID, ""], lamp_out())
    assert isinstance(held.session.step, Work) and held.session.mending.vehicle.minutes == {"out": 25}
    assert not any(isinstance(event, AccessNoted) and event.vehicle for event in held.kept)


@pytest.mark.parametrize("line", ["2", "yes", "works", "?", "x" * 401])
def test_a_line_meant_for_something_else_is_not_taken_for_a_description(line: str) -> None:
    """A number or a single word is refused, and says how it is skipped."""
    meaning = understand(lamp_out(), HowOpened("out"), line)
    assert isinstance(meaning, Refusal) and "Enter" in meaning.message


@pytest.mark.parametrize("line", ["two words", "a" * 25, "--", "van/12"])
def test_a_name_is_one_plain_word(line: str) -> None:
    """Letters and figures, so that it can be typed again and tells nothing of anybody."""
    session = hold([SAID], lamp_out()).session
    assert isinstance(understand(session, session.step, line), Refusal)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (SAID, ("two bolts on top, slide it forward", 25, "6 torx screws")),
        ("bumper off; 1.5 h; 8 clips, 2 x M6 bolts", ("bumper off", 90, "8 clips, 2 x M6 bolts")),
        ("about 40 minutes", ("", 40, "")),
        ("takes 40 min with two people", ("takes 40 min with two people", 40, "")),
        ("pull the catch, then turn left", ("pull the catch, then turn left", None, "")),
    ],
)
def test_minutes_and_fasteners_are_found_among_the_words(said: str, wanted: object) -> None:
    """Pieces between commas: a time, a count of things, or words."""
    assert parts(said) == wanted


def test_the_next_job_on_the_vehicle_uses_it() -> None:
    """Chosen by name or number: its minutes count, its words stand at the step, and it is not asked again."""
    session = fresh(VehiclesKnown((NOTED,)))
    assert session.step == WhichVehicle(("van-12",))
    for line in ("1", "van-12", "VAN"):
        chosen = hold([line], session).session
        assert chosen.prices.access == {"out": 25} and isinstance(chosen.step, Ask)
    began = after([Begun(("new-bulb",)), Acknowledged(("spark",))], after(BROKEN, chosen))
    assert isinstance(began.step, Work) and began.step.task.minutes == 25
    assert began.step.task.text == "two bolts on top, slide it forward. What comes off: 6 torx screws."
    assert isinstance(after([StepDone("open")], began).step, Work)


def test_another_vehicle_knows_nothing_of_it() -> None:
    """Enter or `another`: shipped minutes, and it is asked when its lamp is out."""
    for line in ("", "another", "2"):
        other = hold([line], fresh(VehiclesKnown((NOTED,)))).session
        assert not other.prices.access and isinstance(other.step, Ask)
    assert lamp_out(VehiclesKnown((NOTED,)), VehicleNamed("")).step == HowOpened("out")


def test_the_planner_reckons_with_the_vehicles_minutes() -> None:
    """A lamp that takes two hours to get out makes its repair dearer by just that."""
    slow = AccessNoted("out", "bumper off first", 140, "", "van-12")
    plain = fresh(*BROKEN).verdict.actions
    dear = fresh(VehiclesKnown((slow,)), VehicleNamed("van-12"), *BROKEN).verdict.actions
    cost = {one.repairs: one.cost for one in plain}
    more = {one.repairs: one.cost - cost[one.repairs] for one in dear}
    assert more["new-bulb",] == pytest.approx(120) and more["clean-earth",] == pytest.approx(0)


def test_minutes_typed_for_a_named_vehicle_stay_with_it() -> None:
    """`minutes` speaks of this vehicle when it has a name, and of every one when it has none."""
    named = fresh(VehicleNamed("van-12"))
    meaning = understand(named, named.step, "minutes out 50")
    assert isinstance(meaning, Do) and meaning.events == (AccessNoted("out", "", 50, "", "van-12"),)
    meaning = understand(fresh(), fresh().step, "minutes out 50")
    assert isinstance(meaning, Do) and meaning.events == (Priced("access", "out", 50),)


def test_a_state_that_a_newer_base_lacks_is_passed_over() -> None:
    """Remembered long ago, gone since: no harm."""
    gone = AccessNoted("hatch", "turn it", 5, "", "van-12")
    session = fresh(VehiclesKnown((gone, NOTED)), VehicleNamed("van-12"))
    assert set(session.mending.vehicle.told) == {"out"}


def test_the_journal_remembers_it_across_jobs(tmp_path: Path) -> None:
    """Told in one job, offered in the next; a job of another vehicle leaves it as it was."""
    args = Namespace(data=str(tmp_path))

    def begin() -> Session:
        return keeping.begin(args, varied_base()).session

    assert begin().step == Ask("kind")
    sitting = keeping.begin(args, varied_base())
    session = lamp_out()
    for event in (*BROKEN, AccessNoted("out", NOTED.text, 25, NOTED.fasteners), VehicleNamed("van-12"), NOTED):
        session = sitting.keep(session, [event]).session
    assert begin().step == WhichVehicle(("van-12",))
    with Journal(tmp_path / keeping.FILE) as journal:
        assert journal.vehicles() == (NOTED,)
        job = journal.jobs()[0].job
        kept = keeping.Keeper(journal, job).load(varied_base())
    assert kept.mending.vehicle.name == "van-12" and kept.prices.access == {"out": 25}
    second = keeping.begin(args, varied_base())
    chosen = second.keep(second.session, [VehicleNamed("van-12"), Answered("kind", "lamp")]).session
    assert chosen.prices.access == {"out": 25}


def test_a_question_that_needs_it_says_how() -> None:
    """The line `Open` of a question has the vehicle's own words and minutes."""
    session = fresh(AccessNoted("open", "pull the red lever", 7), *TOLD, Amended("bulb-look"))
    text = " ".join(" ".join(text_of(step_rows(session.step, session, 80))).split())
    assert "Open pull the red lever (7 min)" in text and "takes 10 min" in text
