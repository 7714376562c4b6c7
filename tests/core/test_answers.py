"""What people type: outcomes in many spellings, readings with units, and a sentence for everything else."""

from __future__ import annotations

import math
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine import Answer, Base, Session
from engine.answers import Refused, Understood, interpret
from tests.shipped import shipped_base
from tests.small import TEXT, base_from

READINGS = """
  rest: {kind: reading, title: volts at rest, ask: How much?, unit: V, plausible: [0, 30], expected: [9, 15],
    outcomes: {low: {say: Low., below: 12}, weak: {say: Weak., at_least: 12, below: 12.4},
      good: {say: Good., at_least: 12.4}}}
  loaded: {kind: reading, title: volts at the lamp, ask: How much?, unit: V, plausible: [0, 30],
    compute: lost-from-battery, given: {battery-volts: rest},
    outcomes: {little: {say: Little., below: 0.5}, much: {say: Much., at_least: 0.5}}}
  gap: {kind: reading, title: gap, ask: How much?, unit: V,
    outcomes: {low: {say: Low., below: 1}, high: {say: High., at_least: 2}}}
forms:
"""


@cache
def readings_base() -> Base:
    """The small base with three readings."""
    return base_from(TEXT.replace("forms:\n", READINGS.lstrip("\n"), 1))


def session(**answers: str) -> Session:
    """A session on the small base with three readings."""
    found = Session(readings_base())
    for question, text in answers.items():
        found = found.answer(question, understood(found, question, text).answer)
    return found


def understood(at: Session, question: str, text: str) -> Understood:
    """What a text was understood as."""
    result = interpret(at, question, text)
    assert isinstance(result, Understood), result
    return result


def refused(question: str, text: str) -> str:
    """Why a text was refused."""
    result = interpret(session(), question, text)
    assert isinstance(result, Refused), result
    return result.message


@pytest.mark.parametrize("text", ["broken", "BROKEN", " broken ", "2", "b", "bro"])
def test_an_outcome_may_be_typed_in_many_ways(text: str) -> None:
    """By its word in any case, its number, or an unmistakable start."""
    assert understood(session(), "bulb-look", text).answer.outcome == "broken"


@pytest.mark.parametrize("text", ["unsure", "?", "-", "cannot tell", "Unsure", " cannot  tell "])
def test_cannot_tell_is_always_accepted(text: str) -> None:
    """For a choice and for a reading alike."""
    assert understood(session(), "bulb-look", text).answer.outcome is None
    assert understood(session(), "rest", text).answer.outcome is None


def test_a_wrong_word_is_told_what_is_accepted() -> None:
    """The answers are listed with their numbers, and a near miss is named."""
    message = refused("bulb-look", "brokken")
    assert '"brokken"' in message
    assert 'did you mean "broken"' in message
    assert "1 whole, 2 broken, or unsure" in message
    assert "1 whole, 2 broken" in refused("bulb-look", "")
    assert "1 whole, 2 broken" in refused("bulb-look", "3")
    assert "1 whole, 2 broken" in refused("bulb-look", "0")


@pytest.mark.parametrize(
    ("text", "volts", "outcome"),
    [
        ("11.2", 11.2, "low"),
        ("11,2 V", 11.2, "low"),
        ("12000 mV", 12.0, "weak"),
        ("12.4", 12.4, "good"),
        ("12.39999", 12.39999, "weak"),
        ("0", 0.0, "low"),
        ("30 volts", 30.0, "good"),
    ],
)
def test_a_reading_is_sorted_by_its_bounds(text: str, volts: float, outcome: str) -> None:
    """With or without unit, comma or point; `at_least` counts in, `below` does not."""
    answer = understood(session(), "rest", text).answer
    assert answer.outcome == outcome
    assert answer.reading == pytest.approx(volts)


@pytest.mark.parametrize("text", ["-1", "31", "1e3", "112 V", "31000 mV"])
def test_a_reading_that_cannot_be_is_refused_with_the_range(text: str) -> None:
    """Out of the plausible range, the range is said; nothing is stored."""
    message = refused("rest", text)
    assert "between 0 and 30 V" in message or "Give a number" in message or "does not fit" in message


def test_a_reading_that_is_odd_is_asked_back_once() -> None:
    """Possible but outside what one would expect, it is understood, and asked back with the expected range."""
    odd = understood(session(), "rest", "7 V")
    assert odd.answer.outcome == "low"
    assert "9 to 15 V" in odd.ask_back
    assert understood(session(), "rest", "12.6").ask_back == ""


def test_a_reading_of_another_quantity_is_refused_with_the_units_that_fit() -> None:
    """Amperes are no volts."""
    message = refused("rest", "5 A")
    assert "V" in message
    assert "unsure" in message


def test_a_reading_is_computed_with_an_earlier_one() -> None:
    """The volts at rest are taken from the answer given, and the working is shown."""
    answer = understood(session(rest="12.8 V"), "loaded", "12.5").answer
    assert answer.outcome == "little"
    assert understood(session(rest="12.8 V"), "loaded", "12.2").answer.outcome == "much"
    assert any("12.8" in line for line in answer.working)
    assert answer.working[-1] == "so: little (below 0.5 V)"


def test_an_outcome_may_be_said_in_place_of_a_reading() -> None:
    """A person who only remembers `low` may say so."""
    answer = understood(session(), "rest", "low").answer
    assert (answer.outcome, answer.reading) == ("low", None)


def test_a_reading_that_fits_no_outcome_is_told_so() -> None:
    """A figure in a gap between outcomes is refused with the outcomes to choose from."""
    assert "low, high" in refused("gap", "1.5")


TEXTS = st.one_of(
    st.text(max_size=40),
    st.text("0123456789.,-+ VmAeE%°Ω∞²½٣", max_size=20),
    st.floats().map(str),
    st.integers(-(10**400), 10**400).map(str),
)


@settings(max_examples=300, deadline=None)
@given(TEXTS)
def test_any_text_is_understood_or_refused(text: str) -> None:
    """Never an exception; what is understood is one of the outcomes or `cannot tell`, and a reading is finite."""
    at = session(rest="12.6")
    for question in ("bulb-look", "rest", "loaded", "gap"):
        result = interpret(at, question, text)
        if isinstance(result, Refused):
            assert result.message
        else:
            assert result.answer.outcome is None or result.answer.outcome in at.base.questions[question].outcomes
            assert result.answer.reading is None or math.isfinite(result.answer.reading)
            at.answer(question, result.answer)


@settings(max_examples=60, deadline=None)
@given(TEXTS)
def test_any_text_is_understood_or_refused_by_every_shipped_reading(text: str) -> None:
    """The same for all readings of the shipped base, with their computations."""
    at = Session(shipped_base())
    for question, entry in at.base.questions.items():
        if entry.kind == "reading":
            assert isinstance(interpret(at, question, text), (Understood, Refused))


def test_readings_taken_apart_do_not_change_what_was_said() -> None:
    """The words typed are kept beside the outcome."""
    working = ("so: good (12.4 V or more)",)
    assert understood(session(), "rest", " 12,6   V ").answer == Answer("good", "12,6 V", 12.6, working)
