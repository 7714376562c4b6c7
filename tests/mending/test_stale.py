"""After a repair in vain: what was found through the old part is dropped, what was found elsewhere stays."""

import pytest

from engine.cases import told
from engine.events import Answered, apply
from engine.mend_events import Begun, Judged
from engine.session import Ask, Session
from tests.mending.base import TOLD, after, mending_base, tried
from tests.shipped import shipped_base

DEAD = Answered("light.other", "dead")


def in_vain(name: str) -> tuple[Session, Session]:
    """A shipped case told to its end, and after its first repair changed nothing."""
    base = shipped_base()
    before = told(base, base.cases[name])
    return before, apply(apply(before, Begun(before.verdict.actions[0].repairs)), Judged("unchanged"))


def test_a_reading_that_pointed_at_the_part_is_dropped_even_if_the_repair_does_not_name_it() -> None:
    """`volts` low spoke for the rusty earth: with the earth cleaned it has to be taken again."""
    before = after([*TOLD, Answered("volts", "low"), Answered("fuse-look", "whole")])
    assert "volts" not in mending_base().repairs["clean-earth"].stale
    then = tried(before, "clean-earth")
    assert set(then.mending.tried[0].dropped) == {"volts"} and "fuse-look" in then.answers


def test_a_reading_that_spoke_for_another_part_stays() -> None:
    """What points elsewhere is as true as before, and now leads."""
    before = after([*TOLD, Answered("plug-look", "green")])
    then = tried(before, "clean-earth")
    assert then.answers["plug-look"].outcome == "green" and then.belief.share("green") > before.belief.share("green")


def test_what_the_vehicle_has_lived_through_stays() -> None:
    """A symptom told of the past is no finding through the part."""
    before = after([*TOLD, Answered("noise", "yes")])
    assert "noise" in tried(before, "new-plug", "unchanged").answers


def test_another_light_that_was_dead_with_it_is_looked_at_again() -> None:
    """It may be back now, which would show a second fault; a light that worked was no sign of the fault and stays."""
    before, then = in_vain("whole-lamp-corner-dark")
    lights = shipped_base().technologies[before.technology or ""].paths
    dead = {name for name in lights if before.told.get(name) == "dead"}
    assert dead and dead <= set(then.mending.tried[0].dropped)
    works = {name for name in lights if before.told.get(name) == "works"}
    assert works <= set(then.answers)


def test_a_lamp_of_another_kind_after_the_repair_is_asked_for() -> None:
    """Back to the specified bulb: what was known of the lamp's kind no longer holds, so nothing leads before it is."""
    before, then = in_vain("replacement-flicker")
    assert before.verdict.kind == "proved" and then.technology is None
    assert not then.verdict.actions
    step = apply(then, Answered(then.base.roles.technology, "halogen"))
    assert "replacement-mismatch" not in step.circuit.faults and step.complaint == before.complaint


@pytest.mark.parametrize(
    "name",
    ["both-flicker-torn-strap", "whole-lamp-corner-dark", "ballast-shorted-blows-the-fuse", "led-data-wire-broken"],
)
def test_the_same_repair_does_not_lead_again(name: str) -> None:
    """Cases in which an answer left behind used to put it first once more."""
    before, then = in_vain(name)
    assert before.verdict.actions[0].repairs != then.verdict.actions[0].repairs
    share = next((one.share for one in then.verdict.actions if one.repairs == before.verdict.actions[0].repairs), 0.0)
    assert share < 0.5


def test_on_the_shipped_cases_the_same_repair_rarely_stands_first() -> None:
    """Of all that end with a fault named, seven in eight have another first after it was in vain, nothing asked anew.

    The others are those in which every rival has been cleared by a measurement: a wrong or bad new part is then best.
    """
    base, again, every = shipped_base(), [], 0
    for name, case in base.cases.items():
        if case.verdict not in ("proved", "likely"):
            continue
        before, then = in_vain(name)
        if not before.verdict.actions or not then.verdict.actions:
            continue
        first, every = before.verdict.actions[0].repairs, every + 1
        if then.verdict.actions[0].repairs == first:
            again.append(name)
    assert len(again) <= every / 8, again


def test_a_dropped_question_may_be_asked_again() -> None:
    """It is open, and the planner may choose it."""
    then = tried(after([*TOLD, Answered("volts", "low")]), "clean-earth")
    assert then.open_to("volts") and isinstance(then.step, Ask)
