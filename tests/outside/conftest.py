"""What the checks against published values share."""

from __future__ import annotations

import pytest

from engine.tables import Tables
from shell.tables_at_hand import shipped_tables


@pytest.fixture
def tables() -> Tables:
    """The shipped tables."""
    return shipped_tables()
