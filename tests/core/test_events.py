"""Events: what a person did, kept as lines of text and played again, gives the same session."""

from __future__ import annotations

import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine import Answer, Session, events
from tests.small import small_base

NAMES = st.sampled_from([*small_base().questions, "no-such-question"])
CAUTIONS = st.lists(st.sampled_from([*small_base().cautions]), max_size=2).map(tuple)
NUMBERS = st.floats(allow_nan=False, allow_infinity=False)
EVENTS = st.one_of(
    st.builds(
        events.Answered,
        NAMES,
        st.one_of(st.none(), st.sampled_from(["whole", "low", "dead", "lamp", "yes", "no such outcome"])),
        st.text(max_size=20),
        st.one_of(st.none(), NUMBERS),
        st.lists(st.text(max_size=10), max_size=2).map(tuple),
        st.sampled_from([None, True, False]),
    ),
    st.builds(events.PutOff, NAMES),
    st.builds(events.Amended, NAMES),
    st.builds(events.Rechecked, NAMES),
    st.builds(events.Acknowledged, CAUTIONS),
    st.builds(events.Declined, CAUTIONS),
    st.builds(events.Remarked, st.text(max_size=40)),
    st.builds(events.Turned),
    st.builds(events.Priced, st.just("settings"), st.sampled_from(["hour-value", "no-such"]), st.floats(0, 1000)),
)


@settings(max_examples=200, deadline=None)
@given(EVENTS)
def test_an_event_is_read_back_as_it_was(event: events.Event) -> None:
    """Written as one line and read again, an event is the same, whatever text it carries."""
    line = events.dump(event)
    assert "\n" not in line
    assert events.read(line) == event


@settings(max_examples=60, deadline=None)
@given(st.lists(EVENTS, max_size=12))
def test_any_events_can_be_applied(history: list[events.Event]) -> None:
    """In any order events give a session; those with names the base does not have are passed over."""
    session = Session(small_base())
    for event in history:
        after = events.apply(session, event)
        if not events.known(session, event):
            assert after is session
        session = after
    assert session.belief.shares.sum() == pytest.approx(1)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32))
def test_playing_events_again_gives_the_session(seed: int) -> None:
    """A session worked by hand and its events, written down and played again, agree in answers, odds and next step."""
    rng, base = random.Random(seed), small_base()
    session, lines = Session(base), []
    for question in ["kind", "complaint", *rng.sample(sorted(set(base.questions) - {"kind", "complaint"}), 6)]:
        outcome = rng.choice([*base.questions[question].outcomes, None])
        session = session.answer(question, Answer(outcome, "as said"))
        lines.append(events.dump(events.Answered(question, outcome, "as said")))
        if rng.random() < 0.2:
            session = session.amend(question)
            lines.append(events.dump(events.Amended(question)))
    session = session.remark("cold morning").acknowledge(["spark"])
    lines += [events.dump(events.Remarked("cold morning")), events.dump(events.Acknowledged(("spark",)))]
    again = Session(base)
    for line in lines:
        again = events.apply(again, events.read(line))
    assert again.answers == session.answers
    assert (again.remarks, again.acknowledged) == (session.remarks, session.acknowledged)
    assert np.array_equal(again.belief.shares, session.belief.shares)
    assert again.step == session.step


@pytest.mark.parametrize("line", ["", "{}", "null", "[]", '{"kind": "answered"}', '{"kind": "dreamt"}', "{", "\x00"])
def test_a_line_that_holds_no_event_is_a_value_error(line: str) -> None:
    """Damaged lines are reported as such and not taken for an event."""
    with pytest.raises(ValueError, match=r"."):
        events.read(line)


def test_own_prices_take_effect() -> None:
    """A price of one's own is used from then on."""
    session = events.apply(Session(small_base()), events.Priced("parts", "new-bulb", 99.0))
    assert session.prices.parts == {"new-bulb": 99.0}
    assert events.apply(session, events.Priced("parts", "new-bulb", 5.0)).prices.parts == {"new-bulb": 5.0}
