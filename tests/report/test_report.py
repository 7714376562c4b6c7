"""The record of a job as a value."""

from __future__ import annotations

import pytest

from engine.events import Answered, Event, Remarked, Turned
from engine.mend_events import Begun, Judged, RepairLeft, StepDone
from engine.report import compose
from engine.spending import spend
from tests.report.jobs import CURE, NOON, SEARCH, SECOND, VAIN, WHOLE, happened, report
from tests.small import base_of_two


def test_a_repair_that_does_not_cure_ends_a_search() -> None:
    """Two faults are two searches, each with its findings, its verdict and its repair."""
    first, second = report().searches
    assert first.attempt is not None and first.attempt.result == "changed"
    assert first.verdict.faults == ("broken",) and first.verdict.certainty == "proved"
    assert second.attempt is not None and second.attempt.result == "works"
    assert second.verdict.faults[0] == "green"


def test_the_verdict_is_the_one_the_repair_was_begun_under() -> None:
    """What is learnt behind the repair does not change what was known before it."""
    assert report((*SEARCH, *VAIN[:5])).searches[-1].verdict == report(SEARCH).searches[-1].verdict


def test_a_second_search_tells_only_what_is_new() -> None:
    """Findings that still hold stand in the first search alone."""
    first, second = report().searches
    assert {one.question for one in first.found} == {"light.other", "bulb-look", "ohms"}
    assert {one.question for one in second.found} == {"complaint", "bulb-look", "ohms", "plug-look", "volts"}


def test_what_could_not_be_told_is_said() -> None:
    """`cannot tell` is no finding and is not hidden either."""
    first = report().searches[0]
    assert first.open == ("look at the fuse",)
    assert "fuse-look" not in {one.question for one in first.found}


def test_each_finding_has_the_time_at_which_it_was_given() -> None:
    """Findings come in the order in which they were given, with their times."""
    found = report(SEARCH).searches[0].found
    times = [one.time for one in found]
    assert times == sorted(times, key=lambda time: time or NOON) and None not in times


def test_a_repair_tells_its_steps_its_proof_and_what_was_measured_again() -> None:
    """The attempt holds what was done, how it was proved, and before and after of each measurement."""
    attempt = report().searches[0].attempt
    assert attempt is not None
    assert attempt.steps == ("Open it.", "Fit it.") and attempt.proof == ("Try it.",)
    (check,) = attempt.checks
    assert (check.title, check.before, check.after) == ("ohms", "Endless.", "Low.")
    assert "complaint" in attempt.dropped


def test_a_repair_left_undone_is_no_attempt() -> None:
    """Leaving a repair brings the search back as it was."""
    left = report((*SEARCH, Begun(("new-bulb",)), StepDone("open"), RepairLeft()))
    assert left.searches[-1].attempt is None and not left.cured


def test_a_lamp_that_fails_again_after_the_cure_opens_a_search() -> None:
    """A cure that did not last counts as a repair that did not cure."""
    again = report((*SEARCH, *VAIN[:-1], Judged("works"), Judged("unchanged"), Answered("plug-look", "green")))
    assert [one.attempt.result if one.attempt else None for one in again.searches] == ["unchanged", None]


def test_the_part_that_was_fitted_is_bought_at_the_persons_own_price() -> None:
    """Quotes take the place of price bands; parts that were fitted are not among those spared."""
    whole = report()
    assert {one.repair: one.quote for one in whole.bought} == {"new-bulb": 7.5, "new-plug": None}
    assert not {"fit a bulb", "fit a plug"} & {one.name for one in whole.not_bought}


def test_the_costs_are_those_of_the_session() -> None:
    """The report tells what `spend` tells, and once the lamp works also what the tests saved."""
    from engine.moments import moments
    from tests.small import small_base

    end = moments(small_base(), happened(WHOLE))[-1].after
    assert report().spend == spend(end) and report().spend.saved is not None
    assert report(SEARCH).spend.saved is None


def test_open_root_causes_aim_and_fasteners_are_told() -> None:
    """What comes after the cure is in the record."""
    whole = report()
    assert [(one.name, one.seen) for one in whole.causes] == [("shaking", "found")]
    assert whole.fasteners[0].what == "torx screw" and whole.closed and whole.cured
    assert whole.aim is not None and whole.aim.readings == (0.5, 0.575)
    assert whole.aim.offset is not None and whole.aim.offset.way == "on" and whole.aim.offset.inside


def test_remarks_and_cautions_given_are_told_with_their_words() -> None:
    """Remarks keep their time; a question's cautions count as given when it was answered."""
    whole = report()
    assert [(one.text, one.time.hour) for one in whole.remarks] == [("Bay 2.", 13)]
    assert [one.caution for one in whole.cautions] == ["hot", "spark"]


def test_sources_are_those_of_the_rules_that_fired() -> None:
    """Where the rules come from is said, once each."""
    assert [one.title for one in report().sources] == ["Invented for tests."]


@pytest.mark.parametrize("events", [(), (None,), (Remarked("Only this."),), SEARCH[:1], (*SEARCH[:3], None)])
def test_a_job_of_which_little_is_known_has_a_report(events: tuple[None, ...]) -> None:
    """Nothing, something unreadable, or a first answer: there is always something to show."""
    found = report(events)
    assert found.job == "7" and not found.cured and found.aim is None


def test_the_odds_have_a_point_for_each_answer_that_moved_them() -> None:
    """The course begins when lamp and complaint are known, and marks the repair that did not cure."""
    odds = report().odds
    assert odds.faults[0] == "green"
    assert sum(point.repair for point in odds.points) == 1
    broken = [point.shares[odds.faults.index("broken")] for point in odds.points]
    repair = next(index for index, point in enumerate(odds.points) if point.repair)
    assert broken[repair - 1] > 0.9 and broken[-1] < 0.05
    assert all(0 <= share <= 1 for point in odds.points for share in point.shares)


def test_the_odds_end_where_the_search_ended() -> None:
    """The last point is the belief of the session itself."""
    from engine.moments import moments
    from tests.small import small_base

    played = moments(small_base(), happened((*SEARCH, *VAIN, *SECOND)))
    odds = report((*SEARCH, *VAIN, *SECOND)).odds
    shares = dict(played[-1].after.belief.ranking())
    assert odds.points[-1].shares == pytest.approx([shares[fault] for fault in odds.faults])


def test_what_happens_after_the_cure_does_not_move_the_odds() -> None:
    """Questions about the root cause are no longer part of the search."""
    assert report((*SEARCH, *VAIN, *SECOND, *CURE)).odds == report((*SEARCH, *VAIN, *SECOND)).odds


def test_two_complaints_are_two_searches() -> None:
    """Each has its verdict and its repair; turning back changes nothing of what stands."""
    first: tuple[Event, ...] = (Answered("kind", "lamp"), Answered("complaint", "dead"), Answered("also", "dim"))
    cured: tuple[Event, ...] = (Answered("ohms", "endless"), Begun(("new-bulb",)), StepDone("open"), StepDone("do"))
    proved: tuple[Event, ...] = (StepDone("prove"), Judged("works"), Turned())
    second: tuple[Event, ...] = (Answered("showing", "yes"), Answered("plug-look", "green"), Answered("volts", "low"))
    found = compose(base_of_two(), "1", happened((*first, *cured, *proved, *second))).searches
    assert [one.verdict.faults[0] for one in found] == ["broken", "green"]
    assert found[0].attempt is not None and found[0].attempt.result == "works"
    assert found[0].verdict.unexplained == "dim" and not found[1].verdict.unexplained
