"""The dialogue: asks in order, keeps what is said before it goes on, and loses nothing."""

from collections.abc import Sequence
from functools import reduce

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.events import Answered, Event, Rechecked, apply
from engine.session import Answer, Ask, End, Session, Warn
from engine.steps import Step
from shell.commands import COMMANDS
from shell.dialogue import Desk, Kept, converse, forget
from shell.names import Refusal
from tests.shell.jobs import OPENED, hold, play
from tests.small import TEXT, base_from, small_base

ODD = base_from(
    TEXT.replace(
        "  ohms: {kind: test, title: ohms, ask: What does the meter say?, minutes: 2, tools: [meter], access: open,\n"
        "    outcomes: {low: {say: Low., usual: 0.98}, endless: {say: Endless.}}}",
        "  ohms: {kind: reading, title: ohms, ask: How many?, unit: ohm, plausible: [0, 9999], expected: [0, 50],"
        " outcomes:\n"
        "    {low: {say: Low., usual: 0.98, below: 5}, endless: {say: Endless., at_least: 5}}}",
    )
)


def test_a_job_from_complaint_to_verdict() -> None:
    """The opening, a test, and the verdict with what to do, what to buy and how to prove it."""
    held = play({"kind": "lamp", "complaint": "dead", "showing": "yes", "have-meter": "yes", "ohms": "endless"})
    assert isinstance(held.session.step, End)
    assert not held.refused
    for words in ("Found: broken filament", "Do now", "fit a bulb", "Prove it before", "Ask for"):
        assert words in held.text


def test_the_kind_of_lamp_has_to_be_known() -> None:
    """Whoever cannot tell it is told so, and is asked again; of other questions it counts for nothing."""
    held = hold(["unsure"])
    assert "has to be known first" in held.text and held.session.step == Ask("kind")
    assert "counts for nothing" in hold(["lamp", "unsure"]).text


def test_what_was_kept_is_the_session() -> None:
    """The events handed to the keeper, played again, give the session the dialogue ended with."""
    held = hold([*OPENED, "yes", "remark a  b", "price hour 90", "whatever", "unsure", "later", "amend kind", "1"])
    again = reduce(apply, held.kept, Session(small_base()))
    assert (again.answers, again.later, again.remarks) == (
        held.session.answers,
        held.session.later,
        held.session.remarks,
    )
    assert again.prices == held.session.prices and again.remarks == ("a  b",)


def test_an_event_is_kept_before_the_next_line_is_asked_for() -> None:
    """Whoever pulls the plug at a prompt finds everything said so far."""
    order: list[str] = []
    lines = iter(OPENED)

    def read(session: Session) -> str:
        order.append("read")
        line = next(lines, None)
        if line is None:
            raise EOFError
        return line

    def keep(session: Session, events: Sequence[Event]) -> Kept:
        order.append("keep")
        return forget(session, events)

    converse(Session(small_base()), Desk(read, lambda rows: None, lambda refusal: None, lambda: 80), keep)
    assert order == ["read", "keep"] * len(OPENED) + ["read"]


def test_looking_at_things_changes_nothing() -> None:
    """Commands that only show leave the session as it was, and the question is said again after each."""
    looks = ["why", "trace", "standing", "spend", "doubt broken", "suppose yes", "help", "help hot", "why ohms"]
    before = hold(OPENED)
    held = hold([*OPENED, *looks])
    assert held.session.answers == before.session.answers and held.kept == before.kept
    assert held.text.count("A meter?") == 1 + len(looks)


def test_an_odd_reading_is_asked_back_once() -> None:
    """It is not taken at first; said again, it is."""
    start = hold(OPENED, Session(ODD)).session.answer("have-meter", Answer("yes")).amend("ohms")
    once = hold(["80"], start)
    assert "ohms" not in once.session.answers and "One would expect 0 to 50" in once.text
    twice = hold(["80", "80"], start)
    assert twice.session.answers["ohms"].outcome == "endless"
    mended = hold(["80", "2"], start)
    assert mended.session.answers["ohms"].outcome == "low"


def test_serious_dangers_are_read_before_the_test() -> None:
    """The warning stands before the question; declined, the question is not asked at all."""
    start = hold([*OPENED, "yes", "later"]).session  # the ohms are put off, so the volts come next
    assert start.step == Warn(("spark",), "volts")
    read = hold(["understood"], start)
    assert read.text.index("Mind the wires.") < read.text.index("How much?") and read.session.step == Ask("volts")
    declined = hold(["decline"], start)
    assert "How much?" not in declined.text and not declined.session.fits("volts")


def test_answers_that_clash_are_named_and_asked_again() -> None:
    """All faults ruled out: the answers that cannot all be true are said, and the likeliest slip asked once more."""
    session = Session(small_base())
    told = {"kind": "lamp", "complaint": "dead", "showing": "yes", "light.other": "works", "have-meter": "yes"}
    clashing = {"volts": "full", "fuse-look": "whole", "ohms": "low", "plug-look": "clean", "bulb-look": "whole"}
    for question, outcome in {**told, **clashing}.items():
        session = apply(session, Answered(question, outcome))
    assert session.clash is not None
    suspect = session.clash.suspect
    assert session.step == Ask(suspect, again=True)
    held = hold(["1"], session)
    assert "cannot all be true" in held.text and "look again" in held.text
    assert [type(event) for event in held.kept] == [Rechecked, Answered]
    assert held.kept[0] == Rechecked(suspect)
    end = play(clashing, session)
    assert "contradict each other" in end.text and f"amend {suspect}" in end.text and "supply-sound" in end.text


def test_a_danger_ends_the_search_at_once() -> None:
    """A rule that stops is said first, with its reason, and nothing more is asked or advised."""
    session = apply(hold(OPENED).session, Answered("smell", "yes"))
    held = hold([], session)
    assert "Stop here, for safety" in held.text and "It burns." in held.text and "Do now" not in held.text


def test_park_leaves_and_so_does_the_end_of_input() -> None:
    """Both keep all that was said."""
    assert hold([*OPENED, "park", "yes"]).session.answers == hold(OPENED).session.answers


def test_what_the_keeper_refuses_is_not_taken() -> None:
    """When an answer cannot be kept, the person is told and the session stays."""

    def keep(session: Session, events: Sequence[Event]) -> Kept:
        return Kept(session, Refusal("The disk is full"))

    lines, refused = iter(["lamp"]), []

    def read(session: Session) -> str:
        line = next(lines, None)
        if line is None:
            raise EOFError
        return line

    desk = Desk(read, lambda rows: None, lambda refusal: refused.append(refusal.message), lambda: 80)
    session = converse(Session(small_base()), desk, keep)
    assert not session.answers and refused == ["The disk is full"]


WORDS = st.sampled_from(
    [
        *COMMANDS,
        *("1", "2", "3", "99", "yes", "no", "lamp", "dead", "unsure", "?", "while", "hidden", "understood", "decline"),
        *("broken", "kind", "fuse-look", "bulb", "hour", "-", "12.4", "mV", "12,4", "1e999", "nan", ";", "\x1b[2J"),
        *("{this}", "rest"),
    ]
)
LINES = st.one_of(st.lists(WORDS, max_size=4).map(" ".join), st.text(max_size=30))


@settings(max_examples=150, deadline=None)
@given(st.lists(LINES, max_size=12), st.sampled_from(((), OPENED, (*OPENED, "yes", "understood"))))
def test_whatever_is_typed_nothing_breaks_and_nothing_is_lost(lines: list[str], opened: tuple[str, ...]) -> None:
    """Random lines at every kind of prompt: no error, and the events kept give the session back."""
    held = hold([*opened, *lines], Session(ODD) if len(lines) % 2 else None, width=60)
    again = reduce(apply, held.kept, Session(held.session.base))
    assert again.answers == held.session.answers and again.later == held.session.later
    assert all(message and "\n" not in message for message in held.refused)
    assert again.mending == held.session.mending and isinstance(held.session.step, Step)
