"""A rehearsal on the small base."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.rehearsal import Car, hide
from shell.rehearse import Practice
from tests.shell.conftest import environment, folder, program
from tests.small import small_base

__all__ = ["environment", "folder", "program"]  # fixtures of the shell's tests that serve here too


@pytest.fixture
def car() -> Car:
    """A dead lamp with a broken filament, hidden."""
    return hide(small_base(), 3, "broken", "lamp", "dead")


@pytest.fixture
def practice(car: Car, tmp_path: Path) -> Practice:
    """A rehearsal on that car."""
    return Practice(car, 80, tmp_path / "rehearsals.jsonl")
