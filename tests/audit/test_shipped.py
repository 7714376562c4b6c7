"""The shipped base under its own inspection."""

from __future__ import annotations

import time
from functools import cache
from pathlib import Path

import kb
from engine.audit.inspection import Inspection, inspect_paths

BUDGET = 10.0  # seconds, on a machine of two cores


@cache
def inspected() -> tuple[Inspection, float]:
    """What is found, and the seconds of processor time it took."""
    start = time.process_time()
    found = inspect_paths([Path(kb.__file__).parent])
    return found, time.process_time() - start


def test_the_shipped_base_has_no_errors() -> None:
    """`lampwright kb check` succeeds."""
    found, _ = inspected()
    assert [str(problem) for problem in found.problems if problem.severity == "error"] == []


def test_the_inspection_is_quick() -> None:
    """A trainer waits no longer than it takes to read the last report."""
    assert inspected()[1] < BUDGET
