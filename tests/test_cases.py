"""Every worked case of the shipped base ends as it should: with all answers given at once, and when it is played."""

from __future__ import annotations

from functools import cache

import pytest

from engine import Base, KnowledgeError, load
from tests import playing


@cache
def shipped() -> Base | None:
    """The shipped base, or None while it does not load (a test of its own says so)."""
    try:
        return load([playing.SHIPPED])
    except KnowledgeError:
        return None


def names() -> list[str]:
    """The ids of all cases."""
    base = shipped()
    return list(base.cases) if base else []


def test_the_shipped_base_loads() -> None:
    """The knowledge files that come with the program are free of problems, and bring cases."""
    assert load([playing.SHIPPED]).cases


@pytest.mark.parametrize("name", names())
def test_a_case_told_at_once_ends_as_it_should(name: str) -> None:
    """With all answers, the verdict and the fault named first are those of the case; sound parts are left alone."""
    base = load_shipped()
    case = base.cases[name]
    assert playing.failings(case, playing.told(base, case)) == [], str(base.place("cases", name))


@pytest.mark.parametrize("name", names())
def test_a_case_played_ends_as_it_should(name: str) -> None:
    """The program asks, the case answers, and the search ends at the right fault within its number of questions."""
    base = load_shipped()
    case = base.cases[name]
    played = playing.play(base, case)
    dialogue = "\n".join(playing.lines(name, case, played))
    assert playing.failings(case, played.session, played.questions) == [], dialogue


def load_shipped() -> Base:
    """The shipped base, which loads where there are cases to test."""
    base = shipped()
    assert base is not None
    return base
