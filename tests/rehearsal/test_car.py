"""The car for practice: the same to all who share a seed, true to its fault, and never contradicting itself."""

from __future__ import annotations

import random
from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.answers import Understood, interpret
from engine.clash import find_clash
from engine.expectations import expectations
from engine.grounding import ground
from engine.reasoning import reason
from engine.rehearsal import Car, NoSuchCar, askable, hide
from tests.shipped import shipped_base
from tests.small import small_base

SEEDS = st.integers(0, 10**6)


@given(SEEDS)
def test_a_seed_makes_one_car(seed: int) -> None:
    """A class that shares a number shares lamp, complaint, fault and every answer."""
    one, two = hide(small_base(), seed), hide(small_base(), seed)
    assert (one.technology, one.complaint, one.fault, one.answers) == (
        two.technology,
        two.complaint,
        two.fault,
        two.answers,
    )


@given(SEEDS, st.randoms())
@settings(max_examples=25)
def test_no_answer_hangs_on_what_was_asked_before(seed: int, dice: random.Random) -> None:
    """Asked in another order, the car shows the same."""
    car = hide(small_base(), seed)
    names = list(askable(car.opening))
    shown = []
    for _ in range(2):
        dice.shuffle(names)
        session, found = car.opening, {}
        for name in names:
            found[name] = car.answer(session, name).outcome
            session = session.answer(name, car.answer(session, name))
        shown.append(found)
    assert shown[0] == shown[1]


@given(SEEDS)
@settings(max_examples=60)
def test_what_the_car_shows_can_be(seed: int) -> None:
    """Law: all its answers together exclude neither its fault nor prove another, and do not clash."""
    _true(hide(small_base(), seed))


@pytest.mark.parametrize("seed", range(12))
def test_cars_of_the_shipped_base_are_true(seed: int) -> None:
    """The same on the base that comes with the program."""
    _true(hide(shipped_base(), seed))


def _true(car: Car) -> None:
    circuit = ground(car.base, car.technology)
    found = reason(circuit, car.answers)
    parts = {car.fault, *car.base.faults[car.fault].both}
    assert car.fault not in found.exclusions
    for firing in found.firings:
        for effect in firing.rule.effects:
            assert effect.kind != "proves" or effect.faults & parts, firing.rule.id
    assert find_clash(found, {}) is None


def test_faults_are_drawn_by_the_odds() -> None:
    """Over many cars with a complaint, each fault comes about as often as its prior says."""
    base = small_base()
    circuit = ground(base, "lamp")
    prior = np.array(circuit.prior("dead"))
    drawn = Counter(hide(base, seed, None, "lamp", "dead").fault for seed in range(600))
    for fault, share in zip(circuit.faults, prior / prior.sum(), strict=True):
        spread = (share * (1 - share) / 600) ** 0.5
        assert abs(drawn[fault] / 600 - share) < 5 * spread + 0.005, fault


def test_answers_are_drawn_by_the_expectations() -> None:
    """Over many cars with one fault, an answer comes as often as it is expected under that fault."""
    base = small_base()
    table = expectations(ground(base, "lamp"))
    wanted = table.table("bulb-look", {"kind": "lamp", "complaint": "dead"})[:, table.columns["broken"]]
    drawn = Counter(hide(base, seed, "broken", "lamp", "dead").answers["bulb-look"] for seed in range(400))
    assert abs(drawn["broken"] / 400 - float(wanted[1])) < 0.1


@pytest.mark.parametrize("seed", range(6))
def test_a_reading_is_a_figure_that_means_its_outcome(seed: int) -> None:
    """On the shipped base: the number shown is sorted, by the program itself, into the outcome that was drawn."""
    car = hide(shipped_base(), seed)
    session = car.opening
    readings = [name for name in askable(session) if car.base.questions[name].kind == "reading"]
    assert readings
    figures = 0
    for name in readings:
        answer = car.answer(session, name)
        assert answer.outcome == car.answers[name]
        if answer.reading is not None:
            figures += 1
            again = interpret(session, name, answer.said)
            assert isinstance(again, Understood) and again.answer.outcome == answer.outcome
    assert figures >= len(readings) / 2


def test_what_cannot_be_is_refused() -> None:
    """A fault that the lamp cannot have, or that is never behind the complaint."""
    with pytest.raises(NoSuchCar):
        hide(small_base(), 1, "rusty", "other")
    with pytest.raises(NoSuchCar):
        hide(small_base(), 1, "nonsense")


def test_the_trainee_starts_from_what_the_driver_says(car: Car) -> None:
    """The opening is answered and free; every tool is at hand; nothing of the fault has been tested."""
    assert {"kind", "complaint", "light.other", "have-meter"} <= set(car.opening.answers)
    assert car.opening.told["have-meter"] == "yes" and "ohms" in askable(car.opening)
