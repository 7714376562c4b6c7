"""The shipped base under its own inspection."""

from __future__ import annotations

from pathlib import Path

import kb
from engine.audit.inspection import inspect_paths


def test_the_shipped_base_has_no_errors() -> None:
    """`lampwright kb check` succeeds."""
    found = inspect_paths([Path(kb.__file__).parent])
    assert [str(problem) for problem in found.problems if problem.severity == "error"] == []
