"""The shipped base for tests of laws that must hold on it, and random jobs on a base."""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

import pytest

import kb
from engine import Answer, Base, KnowledgeError, Session, load

FOLDER = Path(kb.__file__).parent


@cache
def loaded() -> Base | None:
    """The shipped base, or None while it does not load."""
    try:
        return load([FOLDER])
    except KnowledgeError:
        return None


def shipped_base() -> Base:
    """The shipped base; a test that needs it is skipped while it does not load, of which tests/test_cases.py tells."""
    base = loaded()
    if base is None:
        pytest.skip("the shipped base does not load; tests/test_cases.py says why")
    return base


def job(base: Base, technology: str | None, rng: random.Random, most: int = 8) -> Session:
    """A session with random answers: technology and complaint, some circumstances, and findings that rules look at."""
    session = Session(base)
    if technology is not None:
        session = session.answer(base.roles.technology, Answer(technology))
    session = session.answer(base.roles.complaint, Answer(pick(base, base.roles.complaint, rng)))
    wanted = {leaf.name for rule in session.circuit.rules for leaf in (*rule.when, *rule.unless)}
    speaking = sorted(wanted & set(base.questions) - {base.roles.technology, base.roles.complaint})
    for name in rng.sample(speaking, min(most, len(speaking))):
        session = session.answer(name, Answer(pick(base, name, rng)))
    return session


def pick(base: Base, question: str, rng: random.Random) -> str:
    """Any outcome of a question."""
    return rng.choice(list(base.questions[question].outcomes))
