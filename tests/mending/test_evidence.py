"""A repair that did not cure is evidence: strong, order-free, and never the end of a suspect."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.belief import uncured
from engine.events import Answered
from engine.mend_events import Begun, Judged
from engine.planning import repair_left
from tests.mending.base import BROKEN, TOLD, after, mending_base, tried

REPAIRS = ("charge", "new-fuse", "new-plug", "new-bulb", "clean-earth")


def test_the_mended_fault_becomes_unlikely_but_not_impossible() -> None:
    """Its odds against every other fault fall by the share of duds, and by nothing else when no answer is stale."""
    before = after(TOLD)
    then = tried(before, "clean-earth")
    dud = before.base.setting("dud-share")
    old = before.belief.share("rusty") / before.belief.share("blown")
    assert then.belief.share("rusty") / then.belief.share("blown") == pytest.approx(old * dud)
    assert then.belief.share("rusty") > 0 and "rusty" not in then.reasoning.exclusions


def test_a_second_repair_in_vain_counts_again() -> None:
    """Two duds in a row are rarer than one."""
    once = tried(after(TOLD), "clean-earth")
    twice = tried(once, "clean-earth")
    assert 0 < twice.belief.share("rusty") < once.belief.share("rusty")


def test_half_of_a_double_fault_does_not_clear_it() -> None:
    """Plug and bulb together gain when the bulb alone was renewed in vain, and then only the plug is left to do."""
    before = after(TOLD)
    then = tried(before, "new-bulb")
    assert then.belief.share("green-and-broken") > before.belief.share("green-and-broken")
    assert repair_left(then.base, "green-and-broken", then.mending.repaired) == ("new-plug",)
    plug = next(action for action in then.verdict.actions if action.repairs == ("new-plug",))
    assert {"green", "green-and-broken"} <= set(plug.faults)
    assert not any(action.repairs == ("new-plug", "new-bulb") for action in then.verdict.actions)


def test_a_part_renewed_in_vain_can_be_renewed_again() -> None:
    """When everything a fault needs has been done, its repair is offered whole: the part may be a dud."""
    assert repair_left(mending_base(), "broken", {"new-bulb"}) == ("new-bulb",)


@given(st.lists(st.lists(st.sampled_from(REPAIRS), min_size=1, max_size=2, unique=True), max_size=4))
def test_the_factor_does_not_depend_on_the_order(attempts: list[list[str]]) -> None:
    """Any order of the same repairs weighs the same, for every fault, and the weight is a probability above nothing."""
    base = mending_base()
    for fault in base.faults:
        found = {round(uncured(base, fault, order), 12) for order in permutations(attempts)}
        assert len(found) == 1 and 0 < found.pop() <= 1
        if not set(base.faults[fault].repair) <= {name for names in attempts for name in names}:
            assert uncured(base, fault, attempts) == 1


def test_repairs_and_answers_may_come_in_any_order() -> None:
    """Answers that no repair makes stale weigh the same before and after it, and so do two repairs either way round."""
    look = Answered("fuse-look", "whole")
    early = tried(tried(after([*TOLD, look]), "clean-earth"), "charge")
    late = after([look], tried(tried(after(TOLD), "charge"), "clean-earth"))
    assert early.belief.shares == pytest.approx(late.belief.shares)
    assert early.mending.repaired == late.mending.repaired


def test_a_repair_that_was_only_begun_says_nothing() -> None:
    """Evidence comes with the judgement, not with the intention."""
    before = after(BROKEN)
    assert after([Begun(("new-bulb",))], before).belief.shares == pytest.approx(before.belief.shares)


def test_a_judgement_without_a_repair_changes_nothing() -> None:
    """An event that fits nothing, as from a damaged journal, is passed over."""
    before = after(BROKEN)
    assert after([Judged("unchanged")], before).mending == before.mending
