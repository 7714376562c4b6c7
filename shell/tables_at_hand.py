"""The shipped tables of light sources and aim rules, read once."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

from engine.tables import Tables, load_tables


@cache
def tables() -> Tables:
    """The tables. Raises KnowledgeError with every problem in them."""
    return load_tables(Path(str(files("kb") / "tables")))
