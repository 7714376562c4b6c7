"""A process killed at any moment loses no answer that the screen had shown as noted."""

from __future__ import annotations

from tests.benchmarks.kills import measure


def test_thirty_kills_lose_nothing() -> None:
    """After each of thirty kills every acknowledged answer is there, the database is sound, and the job goes on."""
    tally = measure(30, seed=3)
    assert tally.kills == 30
    assert tally.acknowledged > 30
    assert tally.clean, tally
