"""Which rule base a command works on: the shipped one or another, with folders laid over it."""

from __future__ import annotations

import argparse
from importlib.resources import files
from pathlib import Path

import platformdirs

from engine import shelf
from engine.base import Base


def shipped() -> Path:
    """The folder of the rule base that comes with the program."""
    return Path(str(files("kb")))


def folders(args: argparse.Namespace) -> list[Path]:
    """The folders of the rule base, the first at the bottom."""
    bottom = Path(args.base) if args.base else shipped()
    return [bottom, *map(Path, args.layers)]


def base_of(args: argparse.Namespace) -> Base:
    """The rule base. Raises KnowledgeError with every problem in it."""
    return shelf.load(folders(args), platformdirs.user_cache_path("lampwright", appauthor=False))
