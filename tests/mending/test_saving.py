"""What the tests saved: computed on the same car, repairs in vain included, and said also when it is a loss."""

import pytest

from engine.costs import repair_cost
from engine.events import Answered, Priced
from engine.mend_events import Begun
from engine.session import Session
from engine.spending import beginning, spend
from shell.saving import difference, order_words, spent_words
from tests.mending.base import BROKEN, TOLD, after, through, tried

LOOKED = (*TOLD, Answered("bulb-look", "broken"))  # likely the bulb, not proved


def cured(session: Session, repair: str) -> Session:
    """The session after this repair has cured."""
    return through(after([Begun((repair,))], session), "works")[0]


def walked(session: Session, needed: set[str]) -> float:
    """By hand: the parts in their order at the start, each with the access it still needs, until all needed are in."""
    start, total = beginning(session), 0.0
    opened, done = frozenset[str](), set[str]()
    for action in start.verdict.actions:
        total += repair_cost(session.base, session.prices, action.repairs, opened)
        opened |= {state for name in action.repairs for state in [session.base.repairs[name].access] if state}
        done.update(action.repairs)
        if needed <= done:
            return total
    raise AssertionError(needed)


def test_a_likely_repair_in_vain_was_not_needed() -> None:
    """The bulb was only likely and changed nothing: it is money spent in vain, and no part of what the lamp needed."""
    found = spend(cured(tried(after(LOOKED), "new-bulb"), "new-plug"))
    assert found.in_vain > 10 and found.in_vain < found.repairs
    assert f"({found.in_vain:.0f} u of it in vain)" in spent_words(found)


def test_a_proved_repair_that_did_not_cure_alone_was_needed() -> None:
    """The bulb was shown to be broken: renewing it was right, and the other way would have had to renew it too."""
    session = cured(tried(after(BROKEN), "new-bulb"), "new-plug")
    assert spend(session).in_vain == 0


@pytest.mark.parametrize("repair", ["new-fuse", "new-bulb", "clean-earth"])
def test_the_other_way_is_walked_on_the_same_car(repair: str) -> None:
    """Parts in the order of the start until the one that cured: as added up by hand, or with handing on."""
    session = after([Priced("settings", "referral-price", 10_000)], cured(after(LOOKED), repair))
    found = spend(session)
    assert found.in_order is not None and not found.handed_on
    assert found.in_order == pytest.approx(walked(session, {repair}))
    assert found.saved == pytest.approx(found.in_order - found.money - found.repairs)


def test_handing_on_is_counted_and_said() -> None:
    """Where the order would have been given up, the price of handing on stands for the rest."""
    session = after([Priced("settings", "referral-price", 1)], cured(after(LOOKED), "new-plug"))
    found = spend(session)
    assert found.handed_on and found.in_order is not None and "hand the job on" in order_words(found)


def test_a_loss_is_said_as_a_loss() -> None:
    """Both figures and the difference, whichever way it went."""
    assert difference(31.2) == "Testing saved 31 u." and difference(-31.2) == "This time testing cost 31 u more."
    assert difference(0.2) == "Testing came to the same."
    session = after([Priced("settings", "referral-price", 1)], cured(after(LOOKED), "new-plug"))
    found = spend(session)
    assert found.saved is not None and found.saved < 0 and "testing cost" in order_words(found)
    assert f"{found.in_order:.0f} u" in order_words(found) or f"{found.in_order:.1f} u" in order_words(found)


def test_before_it_works_nothing_is_compared() -> None:
    """What the car needed is not known yet."""
    assert order_words(spend(after(LOOKED))) == ""
