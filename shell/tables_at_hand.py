"""The tables of light sources and aim rules that a job goes by."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

from engine.base import Base
from engine.tables import NO_TABLES, Tables, load_tables


@cache
def shipped_tables() -> Tables:
    """The tables that come with the program. Raises KnowledgeError with every problem in them."""
    return load_tables(Path(str(files("kb") / "tables")))


def tables(base: Base) -> Tables:
    """The tables of a rule base, or the shipped ones where it brings none."""
    return shipped_tables() if base.tables is NO_TABLES else base.tables
