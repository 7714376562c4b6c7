"""Decision-theoretic troubleshooting and the value of information on worked examples from outside."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from engine import Base
from engine.costs import Prices
from engine.expectations import expectations
from engine.planning import Candidate, Planner
from tests.textbook import evidence, textbook

FORMULA = "Heckerman, Breese and Rommelse 1995 (from memory); the rule of probability over cost, arXiv 1203.3502 (read)"
EXERCISE = (
    "Jensen and Nielsen, exercise on the start problem: probabilities and costs (read); its answer is ours, derived"
)
OIL = (
    "textbook chapter on the value of information, an imperfect seismic test: 60 %, 20 %, 280, perfect test 120 (read)"
)
RATIOS = {"weak": 2.0, "moderate": 4.0, "strong": 12.0, "proof": 1000.0}
NOTHING: frozenset[str] = frozenset()


def planner(base: Base) -> Planner:
    """The planner over the base's faults."""
    return Planner(base, Prices(), evidence(base).circuit.faults)


def act(base: Base) -> float:
    """The expected cost of acting now."""
    return planner(base).plan(evidence(base).belief.shares, [], NOTHING).act_now


@pytest.mark.outside(FORMULA)
@pytest.mark.parametrize("costs", [(10, 3, 5), (2, 9, 4), (1, 1, 30)])
def test_the_formula_over_every_order(costs: tuple[float, ...]) -> None:
    """The sum of C(i) times what is still unsolved, least in the order of probability over cost; our own figures."""
    shares = {"a": 0.5, "b": 0.3, "c": 0.2 - 1e-9}
    price = dict(zip(shares, costs, strict=True))
    base = textbook(shares, {}, [], {**RATIOS, "referral-price": 1e6}, price)

    def expected(order: tuple[str, ...]) -> float:
        unsolved = [1 - sum(shares[one] for one in order[:place]) for place in range(len(order))]
        return sum(price[one] * left for one, left in zip(order, unsolved, strict=True))

    best = min(itertools.permutations(shares), key=expected)
    assert act(base) == pytest.approx(expected(best), abs=0.01)
    assert list(best) == sorted(shares, key=lambda one: -shares[one] / price[one])


@pytest.mark.outside(EXERCISE)
def test_a_computer_that_misbehaves() -> None:
    """Reboot, virus tool, reformat, new computer at 1, 2, 25 and 500: 27.875 by the formula.

    A reboot cures the malfunctioning program (.8); the tool .95 of the viruses (.15); reformatting .99 of the viruses
    that are left; only a new computer cures the hardware (.05) and the rest. Reformatting before buying pays only just.
    """
    cured = {"reboot": 0.8, "tool": 0.15 * 0.95, "reformat": 0.15 * 0.05 * 0.99}
    costs = {"reboot": 1, "tool": 2, "reformat": 25}
    by_hand = 1 + 2 * 0.2 + 25 * (0.2 - 0.1425) + 500 * (0.2 - 0.1425 - cured["reformat"])
    without = 1 + 2 * 0.2 + 500 * (0.2 - 0.1425)
    assert (by_hand, without) == pytest.approx((27.875, 30.15))
    base = textbook(cured, {}, [], {**RATIOS, "referral-price": 500}, costs)
    assert act(base) == pytest.approx(by_hand, abs=1e-6)


def well(test: dict[str, float] | None, rules: list[dict[str, Any]], ratios: dict[str, float]) -> Base:
    """A site that is wet with .4. Drilling costs 200 and, where it finds oil, spares 600 more than it costs."""
    questions = {"seismic": test} if test else {}
    return textbook({"wet": 0.4}, questions, rules, {**RATIOS, **ratios, "referral-price": 600}, {"wet": 200})


def saved_by_asking(base: Base) -> float:
    """What the best question saves, at no price of its own."""
    session = evidence(base)
    table = expectations(session.circuit).likelihood("seismic", {}, 0.0)
    plan = planner(base).plan(session.belief.shares, [Candidate("seismic", table)], NOTHING)
    return plan.act_now - plan.value


@pytest.mark.outside(f"{OIL}; value 20 by its own figures: .5 x 280 - 120")
def test_the_value_of_an_imperfect_test() -> None:
    """Good half the time; wet .6 after good and .2 after bad; drill after good only: worth 140 against 120."""
    rules: list[dict[str, Any]] = [
        {"when": {"seismic": "good"}, "raises": {"weak": "wet"}},
        {"when": {"seismic": "bad"}, "lowers": {"moderate": "wet"}},
    ]
    base = well({"good": 1 / 3, "bad": 2 / 3}, rules, {"weak": 2.25, "moderate": 8 / 3})
    assert evidence(base, seismic="good").belief.share("wet") == pytest.approx(0.6, abs=1e-6)
    assert evidence(base, seismic="bad").belief.share("wet") == pytest.approx(0.2, abs=1e-6)
    assert saved_by_asking(base) == pytest.approx(0.5 * 280 - 120, abs=1e-4)


@pytest.mark.outside(OIL)
def test_the_value_of_a_perfect_test() -> None:
    """A test that never errs spares the 200 of every dry site, six in ten: worth 120."""
    rules: list[dict[str, Any]] = [
        {"when": {"seismic": "good"}, "proves": "wet"},
        {"when": {"seismic": "bad"}, "excludes": "wet"},
    ]
    sure = 1e-9
    base = well({"good": sure, "bad": 1 - sure}, rules, {})
    assert saved_by_asking(base) == pytest.approx(0.6 * 200, abs=1e-4)


@pytest.mark.outside(f"{OIL}: information is bought if and only if it is worth more than its price")
@pytest.mark.parametrize(("price", "asked"), [(15, True), (25, False)])
def test_a_test_is_bought_only_below_its_value(price: float, asked: bool) -> None:
    """The imperfect test is worth 20: asked at 15, not at 25."""
    rules: list[dict[str, Any]] = [
        {"when": {"seismic": "good"}, "raises": {"weak": "wet"}},
        {"when": {"seismic": "bad"}, "lowers": {"moderate": "wet"}},
    ]
    base = well({"good": 1 / 3, "bad": 2 / 3}, rules, {"weak": 2.25, "moderate": 8 / 3, "asking-minutes": price})
    session = evidence(base)
    table = expectations(session.circuit).likelihood("seismic", {}, 0.0)
    prices = Prices(settings={"hour-value": 60.0})
    plan = Planner(base, prices, session.circuit.faults).plan(
        session.belief.shares, [Candidate("seismic", table)], NOTHING
    )
    assert (plan.best is not None) is asked
