"""The journal gives back what was kept, and does not let two writers overwrite each other."""

from __future__ import annotations

import multiprocessing
import os
import sqlite3
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.events import Acknowledged, Amended, Answered, Declined, Event, Priced, PutOff, Rechecked, Remarked
from engine.journal import Journal, JournalError, Moved
from tests.journal.jobs import EVENTS, NOON, stamp

words = st.text(st.characters(codec="utf-8"), max_size=40)
names = st.tuples(words)
numbers = st.floats(allow_nan=False, allow_infinity=False)
events: st.SearchStrategy[Event] = st.one_of(
    st.builds(
        Answered,
        words,
        st.none() | words,
        said=words,
        reading=st.none() | numbers,
        working=names,
        hidden=st.none() | st.booleans(),
    ),
    st.builds(PutOff, words),
    st.builds(Amended, words),
    st.builds(Rechecked, words),
    st.builds(Acknowledged, names),
    st.builds(Declined, names),
    st.builds(Remarked, words),
    st.builds(Priced, st.sampled_from(("settings", "parts", "access")), words, numbers),
)


@given(st.lists(events, max_size=8))
@settings(max_examples=25, deadline=None)
def test_any_events_come_back_as_they_were(tmp_path_factory: pytest.TempPathFactory, given: list[Event]) -> None:
    """Whatever was kept, of every kind and in any words, is read back equal and in order after opening again."""
    path = tmp_path_factory.mktemp("job") / "journal.sqlite"
    with Journal(path) as journal:
        job = journal.begin([EVENTS[0]], stamp(EVENTS[:1]))
        journal.keep(job, 1, given, stamp())
    with Journal(path) as journal:
        assert [entry.event for entry in journal.entries(job)] == [EVENTS[0], *given]


def test_jobs_are_listed_the_last_changed_first(journal: Journal) -> None:
    """The job that was worked on last stands first, with its times, title, size and verdict."""
    first = journal.begin(EVENTS[:2], stamp(EVENTS[:2]))
    second = journal.begin(EVENTS, stamp(minutes=5))
    assert [job.job for job in journal.jobs()] == [second, first]
    journal.keep(first, 2, EVENTS[2:3], stamp(EVENTS[:3], minutes=9))
    assert [job.job for job in journal.jobs()] == [first, second]
    listed = journal.job(second)
    assert listed is not None and listed.summary is not None
    assert (listed.events, listed.created, listed.title) == (6, NOON + timedelta(minutes=5), "Dead; lamp")
    assert (listed.summary.verdict, listed.summary.faults) == ("proved", ("broken",))


def test_a_number_that_no_job_has_gives_none(journal: Journal) -> None:
    """Asking for a job that was never begun is not an error of the file."""
    assert journal.job(7) is None
    assert journal.entries(7) == ()


def test_closing_opening_and_going_on(journal: Journal) -> None:
    """A closed job is listed as closed, and going on with it opens it again."""
    job = journal.begin(EVENTS[:2], stamp(EVENTS[:2]))
    journal.mark(job, "closed", NOON)
    assert journal.jobs()[0].state == "closed"
    journal.keep(job, 2, EVENTS[2:3], stamp(EVENTS[:3]))
    assert journal.jobs()[0].state == "open"


def test_own_figures_are_remembered_across_jobs(journal: Journal) -> None:
    """The last price given for a part, in whichever job, is the one that is remembered."""
    job = journal.begin([Priced("parts", "new-bulb", 7.5), Priced("access", "open", 3)], stamp(()))
    journal.begin([Priced("parts", "new-bulb", 9)], stamp(()))
    assert journal.quotes() == (Priced("access", "open", 3), Priced("parts", "new-bulb", 9))
    journal.keep(job, 2, [Priced("parts", "new-bulb", 8)], stamp(()))
    assert Priced("parts", "new-bulb", 8) in journal.quotes()


def test_the_second_of_two_writers_is_told_and_changes_nothing(path: Path) -> None:
    """Who has not seen the last event of a job cannot add to it; what the other wrote stays."""
    with Journal(path) as one, Journal(path) as two:
        job = one.begin(EVENTS[:2], stamp(EVENTS[:2]))
        one.keep(job, 2, EVENTS[2:3], stamp(EVENTS[:3]))
        with pytest.raises(Moved, match="another window"):
            two.keep(job, 2, EVENTS[3:5], stamp())
        assert [entry.event for entry in two.entries(job)] == list(EVENTS[:3])
        two.keep(job, 3, EVENTS[3:4], stamp(EVENTS[:4]))
        assert len(one.entries(job)) == 4


def _write(path: Path, job: int, who: str, rounds: int) -> None:
    with Journal(path) as journal:
        done = 0
        while done < rounds:
            seen = len(journal.entries(job))
            try:
                journal.keep(job, seen, [Remarked(f"{who} {done}")], stamp(()))
            except Moved:
                continue
            done += 1


def test_two_processes_on_one_job_lose_nothing(path: Path) -> None:
    """Two processes that read again after each refusal get every event in, each in its own order, without gaps."""
    with Journal(path) as journal:
        job = journal.begin([Remarked("first")], stamp(()))
        context = multiprocessing.get_context("spawn")
        writers = [context.Process(target=_write, args=(path, job, who, 15)) for who in "ab"]
        for writer in writers:
            writer.start()
        for writer in writers:
            writer.join(60)
        entries = journal.entries(job)
    assert [entry.number for entry in entries] == list(range(1, 32))
    for who in "ab":
        said = [one.event.text for one in entries if isinstance(one.event, Remarked) and one.event.text[0] == who]
        assert said == [f"{who} {number}" for number in range(15)]


def test_a_refused_batch_leaves_nothing_behind(journal: Journal) -> None:
    """Events given together are kept together or not at all."""
    job = journal.begin(EVENTS[:1], stamp(EVENTS[:1]))
    nan = Priced("parts", "new-bulb", float("nan"))  # SQLite has no such number
    with pytest.raises(JournalError):
        journal.keep(job, 1, [EVENTS[1], nan], stamp())
    assert [entry.event for entry in journal.entries(job)] == [EVENTS[0]]
    journal.keep(job, 1, EVENTS[1:2], stamp(EVENTS[:2]))


def test_a_journal_that_was_replaced_under_the_program_is_noticed(path: Path, journal: Journal) -> None:
    """When the file is moved away while in use, the next event is refused with a word, not written into nowhere."""
    job = journal.begin(EVENTS[:1], stamp(EVENTS[:1]))
    os.rename(path, path.with_name("elsewhere"))
    with pytest.raises(JournalError, match="moved or replaced"):
        journal.keep(job, 1, EVENTS[1:2], stamp(EVENTS[:2]))


def test_an_event_of_a_later_version_does_not_spoil_the_rest(path: Path, journal: Journal) -> None:
    """An event of a kind not known here is given as none; the others are read."""
    job = journal.begin(EVENTS[:2], stamp(EVENTS[:2]))
    with sqlite3.connect(path) as raw:
        raw.execute("""UPDATE events SET event = '{"kind": "sung", "song": "la"}' WHERE number = 1""")
        raw.execute("UPDATE jobs SET summary = '{}'")
    raw.close()
    assert [entry.event for entry in journal.entries(job)] == [None, EVENTS[1]]
    assert journal.jobs()[0].summary is None


def test_each_event_is_waited_for_until_the_disk_has_it(journal: Journal) -> None:
    """A rollback journal, and synchronous EXTRA: after power loss the last answer is there too."""
    connection = journal._connection  # no public way to ask how it writes
    assert connection.execute("PRAGMA synchronous").fetchone() == (3,)
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
