"""Every worked case of the shipped base ends as it should: with all answers given at once, and when it is played."""

from __future__ import annotations

import pytest

from engine import load
from tests import playing
from tests.shipped import loaded, shipped_base

BASE = loaded()
NAMES = list(BASE.cases) if BASE else []


def test_the_shipped_base_loads() -> None:
    """The knowledge files that come with the program are free of problems, and bring cases."""
    assert load([playing.SHIPPED]).cases


@pytest.mark.parametrize("name", NAMES)
def test_a_case_told_at_once_ends_as_it_should(name: str) -> None:
    """With all answers, the verdict and the fault named first are those of the case; sound parts are left alone."""
    base = shipped_base()
    case = base.cases[name]
    assert playing.failings(case, playing.told(base, case)) == [], str(base.place("cases", name))


@pytest.mark.parametrize("name", NAMES)
def test_a_case_played_ends_as_it_should(name: str) -> None:
    """The program asks, the case answers, and the search ends at the right fault within its number of questions."""
    base = shipped_base()
    case = base.cases[name]
    played = playing.play(base, case)
    wrong = playing.failings(case, played.session, played.questions)
    assert wrong == [], "\n".join(playing.lines(name, case, played))
