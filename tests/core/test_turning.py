"""A second complaint: it weighs on the odds, and what does not explain it leaves it to a search of its own."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine import Answer, Session
from engine.steps import Ask
from engine.turning import Left, turn, unexplained
from tests.small import base_of_two

TOLD = {"kind": "lamp", "complaint": "dead", "also": "dim", "showing": "yes", "light.other": "works", "fuses": "own"}


def after(**more: str) -> Session:
    """A session after what is told at the start, and more."""
    told = {**TOLD, **{name.replace("_", "-"): value for name, value in more.items()}}
    return Session(base_of_two(), {name: Answer(outcome) for name, outcome in told.items()})


def test_a_fault_known_for_both_complaints_is_likelier() -> None:
    """By hand: the green plug is known for dead and dim, the filament for dead alone; moderate evidence is 4 to 1."""
    one, two = after(also="no").belief, after().belief
    assert two.share("green") / two.share("broken") == pytest.approx(4 * one.share("green") / one.share("broken"))
    assert two.shares.sum() == pytest.approx(1)


def test_a_pair_explains_what_one_of_it_explains() -> None:
    """Two faults at once are known for what either of them is known for."""
    circuit = after().circuit
    assert circuit.shows("green-and-broken", "dim")
    assert not circuit.shows("broken", "dim")


def test_only_what_the_leading_fault_does_not_explain_is_left() -> None:
    """A broken filament does not make a lamp dim; a green plug may."""
    assert unexplained(after(ohms="endless")) == Left("dim")
    assert unexplained(after(ohms="low", plug_look="green", fuse_look="whole")) is None
    assert unexplained(after(also="no", ohms="endless")) is None
    assert unexplained(after(also="dead", ohms="endless")) == Left("dead"), "another light, dead as well"
    assert unexplained(after(smell="yes")) is None, "stopped for safety"


def test_turning_keeps_the_vehicle_and_asks_the_rest_anew() -> None:
    """What is known of the vehicle goes over; what was found for the first complaint does not."""
    turned = turn(after(ohms="endless", fuse_look="whole").remark("rusty bolt"))
    assert turned.told == {"kind": "lamp", "complaint": "dim", "also": "no", "fuses": "own", "fuse-look": "whole"}
    assert turned.step == Ask("showing")
    assert turned.remarks == ("rusty bolt",)


def test_without_a_second_complaint_there_is_nothing_to_turn_to() -> None:
    """The session stays what it is."""
    session = after(also="no")
    assert turn(session) is session


@given(st.dictionaries(st.sampled_from(["ohms", "plug_look", "volts"]), st.sampled_from(["low", "green", "full"])))
def test_turning_twice_comes_back(found: dict[str, str]) -> None:
    """Nothing that was told of the first complaint is lost, and its verdict stands."""
    known = base_of_two().questions
    first = after(**{name: one for name, one in found.items() if one in known[name.replace("_", "-")].outcomes})
    back = turn(turn(first).answer("plug-look", Answer("clean")).acknowledge({"spark"}))
    assert back.answers == first.answers
    assert back.verdict == first.verdict
    assert back.acknowledged == {"spark"}
    assert turn(back).told["plug-look"] == "clean"


def test_another_light_that_fails_for_no_known_reason_is_left_too() -> None:
    """A broken filament is known for a dead lamp, and nothing makes it dim the lamp on the other side."""
    assert unexplained(after(also="no", ohms="endless", **{"light.other": "dim"})) == Left("dim", "light.other")
    assert turn(after(also="no", ohms="endless", **{"light.other": "dim"})).complaint == "dim"
    assert unexplained(after(also="no", ohms="endless", **{"light.other": "dead"})) is None


def test_a_part_that_the_other_complaint_may_need_is_not_called_sound() -> None:
    """The plug is cleared of the dim lamp, and yet it may be behind the other complaint."""
    found = {"complaint": "dim", "ohms": "low", "volts": "low", "plug-look": "clean"}
    assert "new-plug" in after(also="no", **{**found, "volts": "full", "plug-look": "clean"}).verdict.not_to_buy
    assert "new-plug" not in after(also="dead", **{**found, "volts": "full"}).verdict.not_to_buy


def test_from_the_second_search_the_way_leads_back() -> None:
    """What another light does is not offered as a third search, for `turn` goes back to the first."""
    second = turn(after(complaint="dim", also="dead"))
    for name, outcome in {"showing": "yes", "light.other": "dim", "ohms": "endless"}.items():
        second = second.answer(name, Answer(outcome))
    assert second.verdict.faults == ("broken",)
    assert unexplained(second) is None
    assert turn(second).complaint == "dim"
