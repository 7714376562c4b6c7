"""The words around a repair, typed: understood, refused with what is accepted, and kept."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.events import Acknowledged, Answered
from engine.mend_events import Begun, CauseLooked, Closed, Fastened, Judged, Marked, Remeasured, RepairLeft, StepDone
from engine.session import Session
from engine.steps import Cured, Inspect, Work
from shell.commands import understand
from shell.complete import offers
from shell.meanings import Do, Look
from shell.names import Refusal
from tests.mending.base import BROKEN, TOLD, after, no_cause, through
from tests.shell.jobs import hold

READ = Acknowledged(("spark",))
END = after(BROKEN)
OPENING = after([Begun(("new-bulb",)), READ], END)
PROVING = after([StepDone("open"), StepDone("do"), StepDone("do"), Remeasured("ohms", "low")], OPENING)
CURED = through(OPENING, "works")[0]
CAUSES = after([Answered("clip", "loose")], CURED)


def meant(session: Session, line: str) -> object:
    """The meaning of a line; for something done, its events."""
    meaning = understand(session, session.step, line)
    return meaning.events if isinstance(meaning, Do) else meaning


@pytest.mark.parametrize(
    ("session", "line", "events"),
    [
        (END, "mend", (Begun(("new-bulb",)),)),
        (END, "mend new-plug", (Begun(("new-plug",)),)),
        (END, "stamp h7", (Marked("H7"),)),
        (OPENING, "done", (StepDone("open", "out"),)),
        (OPENING, "took 3 torx screws, red lid", (Fastened("torx screws", 3, "red lid"),)),
        (OPENING, "took bracket", (Fastened("bracket"),)),
        (OPENING, "took 2 x clip, seat, left", (Fastened("clip", 2, "seat, left"),)),
        (OPENING, "leave", (RepairLeft(),)),
        (PROVING, "unchanged", (Judged("unchanged"),)),
        (PROVING, "changed", (Judged("changed"),)),
        (CAUSES, "1 found", (CauseLooked("shaking", "found"),)),
        (CAUSES, "shaking mended", (CauseLooked("shaking", "mended"),)),
        (CAUSES, "none", (CauseLooked("shaking", "not"), CauseLooked("age", "not"))),
        (CAUSES, "later", (CauseLooked("shaking", "later"), CauseLooked("age", "later"))),
        (CAUSES, "cause age not", (CauseLooked("age", "not"),)),
    ],
)
def test_what_is_typed_is_what_is_done(session: Session, line: str, events: object) -> None:
    """Each line stands for these events and no others."""
    assert meant(session, line) == events


@pytest.mark.parametrize(
    ("session", "line", "words"),
    [
        (Session(END.base), "mend", "kind of lamp"),
        (END, "mend headlight", "is not a repair"),
        (END, "here two bolts", "opens something"),
        (END, "stamp ZZ9", "not in the table"),
        (END, "later", "Nothing is being asked"),
        (after(TOLD), "close", "The search goes on"),
        (OPENING, "mend", "in hand"),
        (OPENING, "works", "steps of the repair first"),
        (OPENING, "finished?", "Type `done`"),
        (OPENING, "close", "in hand"),
        (OPENING, "later", "park"),
        (OPENING, "took 3", "what came off"),
        (PROVING, "works", "Go through the proof first"),
        (CAUSES, "7 found", "is not a root cause"),
        (CAUSES, "hm", "Say the number"),
        (CAUSES, "leave", "Say the number"),
    ],
)
def test_what_cannot_be_used_is_refused_with_what_can(session: Session, line: str, words: str) -> None:
    """The refusal says what to do instead."""
    meaning = meant(session, line)
    assert isinstance(meaning, Refusal) and words in meaning.message


def test_a_stopped_search_is_not_mended() -> None:
    """After a danger that ends the search, nobody is led into a repair."""
    session = after([*TOLD, Answered("smell", "yes")])
    assert isinstance(meant(session, "mend"), Refusal)


def test_looking_is_not_doing() -> None:
    """What came off and what to buy can be read at any time."""
    assert meant(OPENING, "took") == Look("taken") and meant(OPENING, "buy") == Look("buy")


@settings(max_examples=60, deadline=None)
@given(st.sampled_from([OPENING, PROVING, CURED, CAUSES]), st.text(max_size=30))
def test_nothing_typed_breaks_it(session: Session, line: str) -> None:
    """Any text is understood, shown or refused."""
    assert understand(session, session.step, line) is not None


def test_every_step_offers_its_words() -> None:
    """Completion knows what can be answered behind the verdict, and every word it offers is taken."""
    for session in (OPENING, PROVING, CAUSES):
        words = [word for word in offers(session, session.step, "") if word in ("done", "unchanged", "none")]
        assert words and all(isinstance(understand(session, session.step, word), Do) for word in words)


def test_an_open_cause_needs_a_second_word_to_close() -> None:
    """`close` says first what is still open and takes a second `close`; with nothing open, one is enough."""
    session = after([CauseLooked("shaking", "later"), CauseLooked("age", "not")], CAUSES)
    while isinstance(session.step, Work):
        session = after([StepDone("refit")], session)
    session = after([StepDone("aim")], session)
    assert session.step == Cured(("shaking",))
    once = hold(["close"], session)
    assert "still open: shaking" in once.text and not once.session.mending.closed
    twice = hold(["close", "close"], session)
    assert twice.session.mending.closed and twice.kept == [Closed()] and "The clip." in twice.text
    clean = after([CauseLooked("shaking", "mended")], session)
    assert hold(["close"], clean).session.mending.closed


def test_a_repair_from_the_verdict_to_the_second_fault() -> None:
    """Typed through: dangers, opening, steps, reading, proof, `unchanged`; what is stale is named, and it goes on."""
    held = hold(["mend", "understood", "done", "done", "done", "low", "done", "unchanged"], END)
    assert not held.refused
    assert held.text.index("Mind the wires.") < held.text.index("Open up") < held.text.index("Measure again")
    assert "Look at the bulb: Broken." in held.text.split("dropped:")[1]
    assert "ohms: Low." in held.text.split("now counted:")[1]
    assert "about 4 in a hundred" in held.text and held.session.verdict.faults != ("broken",)


def test_a_cause_is_shown_with_where_to_look_and_what_to_mend() -> None:
    """First the places, then, once found, the mending."""
    held = hold(["1 found", "mended", "not"], CAUSES)
    assert held.text.index("Shaking. The clip.") < held.text.index("Shaking was found.")
    assert isinstance(CAUSES.step, Inspect) and not held.session.open_causes


def test_closing_says_what_was_done_and_what_the_tests_saved() -> None:
    """The end names the repairs, warns of an aim that was not read, and compares the money."""
    session = no_cause(after([Answered("clip", "firm")], CURED))
    held = hold(["done", "done", "later"], session)
    assert "done: fit a bulb" in held.text and "aim was not read" in held.text
    assert "Replacing parts in order of chance for their price" in held.text and "Spent: " in held.text


def test_the_amount_spent_includes_repairs_in_vain() -> None:
    """`spend` after a repair that did not cure counts it."""
    held = hold(["spend"], through(OPENING, "unchanged")[0])
    assert "repairs so far" in held.text
