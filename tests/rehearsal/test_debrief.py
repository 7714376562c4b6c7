"""Looking back: the costs add up, the best is the best, and the step worth least is one that was."""

from __future__ import annotations

import itertools

import pytest

from engine.average import average
from engine.costs import repair_cost
from engine.debrief import best, by_planner, cures, debrief, least, spent
from engine.planning import repair_left
from engine.rehearsal import Car, askable, hide
from engine.session import Session
from tests.shipped import shipped_base
from tests.small import small_base

CARS = [(seed, fault) for seed in range(3) for fault in ("blown", "green", "broken", "rusty")]


def test_spent_opens_each_state_once(car: Car) -> None:
    """Two tests behind the same cover pay for the cover once; minutes are worth the hour's value."""
    one = spent(car, ["bulb-look"], [])
    both = spent(car, ["bulb-look", "ohms"], [])
    assert one.minutes == 3 + 2 and both.minutes == one.minutes + 2 and both.money == pytest.approx(both.minutes)


def test_not_cured_is_handed_on(car: Car) -> None:
    """Who gives up pays the referral and the repair that somebody else then does."""
    base = car.base
    given_up = debrief(car, [], [])
    repair = repair_cost(base, car.opening.prices, base.faults["broken"].repair, frozenset())
    assert not given_up.cured and given_up.own.money == pytest.approx(100 + repair)


def test_what_was_bought_in_vain_is_named(car: Car) -> None:
    """Repairs that the fault did not need, each once; the one that cured is not among them."""
    found = debrief(car, ["fuse-look"], [("new-fuse",), ("new-fuse",), ("new-bulb",)])
    assert found.cured and found.in_vain == ("new-fuse",)


def test_two_faults_need_both_repairs() -> None:
    """One of the two cures nothing yet; done one after the other they do."""
    base = small_base()
    assert not cures(base, "green-and-broken", [("new-bulb",)])
    assert cures(base, "green-and-broken", [("new-bulb",), ("new-plug",)])


@pytest.mark.parametrize(("seed", "fault"), CARS)
def test_the_best_is_the_cheapest_that_settles_it(seed: int, fault: str) -> None:
    """Against every set of up to three questions, played in full on the same car."""
    car = hide(small_base(), seed, fault, "lamp")
    names = [name for name in askable(car.opening) if name not in car.base.circumstances]
    costs = [
        spent(car, chosen, [car.base.faults[fault].repair]).money
        for size in range(4)
        for chosen in itertools.combinations(names, size)
        if _settled(car, chosen)
    ]
    found = best(car)
    assert (found is None) == (not costs)
    if found is not None:
        assert found.money <= min(costs) + 1e-6 and _settled(car, found.questions)


def _settled(car: Car, asked: tuple[str, ...]) -> bool:
    session: Session = car.opening
    for name in asked:
        session = session.answer(name, car.answer(session, name))
    wanted = car.base.faults[car.fault].repair
    share = sum(share for fault, share in session.belief.ranking() if car.base.faults[fault].repair == wanted)
    return share >= car.base.setting("likely-share")


@pytest.mark.parametrize(("seed", "fault"), CARS)
def test_the_planner_is_judged_by_the_same_rule(seed: int, fault: str) -> None:
    """It starts from the same opening, and its way ends cured or handed on."""
    car = hide(small_base(), seed, fault, "lamp")
    found = by_planner(car)
    assert found.handed_on != cures(car.base, fault, found.repairs)
    assert not set(found.questions) & set(car.opening.answers)
    again = spent(car, found.questions, found.repairs, found.handed_on)
    assert found == again


def test_the_step_worth_least_is_found(car: Car) -> None:
    """A question that no answer of which moves the odds is told, with a better one."""
    step = least(car, ["smell", "ohms"])
    assert step is not None and step.question == "smell"
    assert step.best is not None and step.best_worth > step.worth


def test_who_follows_the_program_has_no_worst_step(car: Car) -> None:
    """Its own questions are, by its own measure, the best that could be asked."""
    assert least(car, by_planner(car).questions) is None


@pytest.mark.parametrize("seed", range(3))
def test_averages_come_in_order(seed: int) -> None:
    """Knowing the fault costs least, then the best order of tests, then the program's, then acting without any."""
    for base in (small_base(), shipped_base()):
        mean = average(hide(base, seed).opening)
        assert mean.known <= mean.best + 1e-9 <= mean.planner + 2e-9 <= mean.at_once + 3e-9


def test_the_average_with_the_fault_known_is_that_of_the_repairs(car: Car) -> None:
    """Each fault at the cost of its own repair, weighed by its odds; the unknown at the price of referral."""
    session, base = car.opening, car.base
    wanted = sum(
        share * repair_cost(base, session.prices, repair_left(base, fault), session.opened)
        for fault, share in session.belief.ranking()
    )
    assert average(session).known == pytest.approx(wanted + 100 * session.belief.unknown, rel=1e-3)
