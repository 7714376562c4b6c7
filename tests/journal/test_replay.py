"""Old events lead to the same session again; under another base it is said what no longer fits and what changed."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from engine.document import document, to_json
from engine.events import Answered, Event, PutOff, Remarked, apply
from engine.replay import changes, dump_summary, fingerprint, headline, read_summary, replay, summary
from engine.session import Session
from tests.journal.jobs import EVENTS
from tests.small import TEXT, base_from, small_base

NEWER = (
    TEXT.replace(
        "excludes: broken, because: Current can pass.", "excludes: [broken, blown], because: Current can pass."
    )
    .replace("green: {say: Green.}", "verdigris: {say: Green.}")
    .replace("when: {plug-look: green}", "when: {plug-look: verdigris}")
)


def test_replay_is_the_session_that_was_worked() -> None:
    """Playing a job's events again gives the very document that the worked session gave."""
    session = Session(small_base())
    for event in EVENTS:
        session = apply(session, event)
    assert to_json(document(replay(small_base(), EVENTS))) == to_json(document(session))


def test_the_same_base_changes_nothing() -> None:
    """Opened under equal knowledge, read from the files anew, a job has nothing lost and nothing moved."""
    again = base_from(TEXT)
    assert fingerprint(again) == fingerprint(small_base())
    assert not changes(again, EVENTS, summary(replay(small_base(), EVENTS)))


def test_events_that_no_longer_fit_are_named_and_left_out() -> None:
    """An outcome or a question that is gone, and an event that cannot be read, are lost; the rest still counts."""
    newer = base_from(NEWER)
    events: list[Event | None] = [
        Answered("kind", "lamp"),
        Answered("complaint", "dead"),
        Answered("plug-look", "green"),
        None,
        PutOff("never-heard-of"),
        Answered("ohms", "endless"),
        Remarked("still here"),
    ]
    before = summary(replay(small_base(), events))
    found = changes(newer, events, before)
    assert found.lost == (3, 4, 5)
    session = replay(newer, events)
    assert set(session.answers) == {"kind", "complaint", "ohms"}
    assert session.remarks == ("still here",)


def test_a_newer_rule_that_excludes_more_is_told() -> None:
    """What only the newer rules exclude is named, both ways round, and the move of the verdict is seen."""
    newer = base_from(NEWER)
    events = [Answered("kind", "lamp"), Answered("complaint", "dead"), Answered("ohms", "low")]
    forth = changes(newer, events, summary(replay(small_base(), events)))
    assert forth.newly_excluded == ("blown",)
    assert forth.no_longer_excluded == ()
    assert forth.verdict_moved
    back = changes(small_base(), events, summary(replay(newer, events)))
    assert back.no_longer_excluded == ("blown",)


def test_a_newer_rule_that_concludes_another_thing_is_told() -> None:
    """A conclusion that has another value now is both no longer concluded and concluded only now."""
    newer = base_from(TEXT.replace("supply: sound", "supply: whole"))
    events = [Answered("kind", "lamp"), Answered("complaint", "dead"), Answered("volts", "full")]
    found = changes(newer, events, summary(replay(small_base(), events)))
    assert found.newly_concluded == (("supply", "whole"),)
    assert found.no_longer_concluded == (("supply", "sound"),)
    assert found and not found.verdict_moved


def test_fingerprints_differ_where_knowledge_does() -> None:
    """A changed strength, rule or wording has another fingerprint; a changed case, which concludes nothing, has not."""
    ours = fingerprint(small_base())
    assert fingerprint(base_from(TEXT.replace("strong: {value: 12", "strong: {value: 13"))) != ours
    assert fingerprint(base_from(NEWER)) != ours
    assert fingerprint(base_from(TEXT.replace("story: A bulb.", "story: Another bulb."))) == ours


def test_the_headline_names_the_lamp_as_far_as_known() -> None:
    """A job is headed by complaint and kind of lamp, and by nothing before they are told."""
    assert headline(replay(small_base(), EVENTS[:0])) == ""
    assert headline(replay(small_base(), EVENTS[1:2])) == "Dead"
    assert headline(replay(small_base(), EVENTS[:2])) == "Dead; lamp"


@given(st.permutations(EVENTS), st.integers(0, len(EVENTS)))
def test_summaries_are_read_back_as_they_were(events: list[Event], count: int) -> None:
    """A summary of any session comes back equal."""
    one = summary(replay(small_base(), events[:count]))
    assert read_summary(dump_summary(one)) == one
