"""What the benchmarks have in common: their options, the shipped base, processor time and how figures are told."""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TextIO, TypeAlias, TypeVar

import numpy as np

import kb
from engine.base import Base
from engine.loading import load

FOLDER = Path(kb.__file__).parent
Figures: TypeAlias = Mapping[str, object]
Result = TypeVar("Result")
_AT_WORK: list[Any] = []  # what forked processes do, and with which items; a base cannot be sent to them


@dataclass(frozen=True)
class Options:
    """What every benchmark is asked: less of it, under a minute; and other dice."""

    quick: bool
    seed: int


def options(name: str, about: str | None, argv: Sequence[str] | None = None) -> tuple[Options, bool]:
    """The options of a command line, and whether JSON is wanted."""
    told = argparse.ArgumentParser(
        f"python -m tests.benchmarks.{name}", description=about, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    told.add_argument("--quick", action="store_true", help="less of it, under a minute")
    told.add_argument("--json", action="store_true", help="write the figures as one JSON document")
    told.add_argument("--seed", type=int, default=0, help="other dice")
    args = told.parse_args(argv)
    return Options(args.quick, args.seed), args.json


def run(name: str, about: str | None, measure: Callable[[Options], Figures], argv: Sequence[str] | None = None) -> int:
    """Measure and tell; the exit code."""
    asked, as_json = options(name, about, argv)
    began = time.monotonic()
    with _undisturbed() as output:
        figures = {**measure(asked), "seconds": round(time.monotonic() - began, 1)}
        print(json.dumps(figures, indent=2) if as_json else "\n".join(told(figures)), file=output)
    return 0


@contextmanager
def _undisturbed() -> Iterator[TextIO]:
    """The standard output for the figures alone: a C library measured against writes notices of its own to it."""
    sys.stdout.flush()
    with os.fdopen(os.dup(1), "w", encoding="utf-8") as output:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # for the rest of the process, as it writes some of them at exit
        yield output


def told(figures: Figures, indent: str = "") -> Iterator[str]:
    """Figures as lines of text."""
    for name, value in figures.items():
        if isinstance(value, Mapping):
            yield f"{indent}{name.replace('_', ' ')}:"
            yield from told(value, indent + "  ")
        elif isinstance(value, list) and value and isinstance(value[0], Mapping):
            yield f"{indent}{name.replace('_', ' ')}:"
            for row in value:
                yield indent + "  " + ", ".join(f"{key} {shown(one)}" for key, one in row.items())
        else:
            yield f"{indent}{name.replace('_', ' '):<28} {shown(value)}"


def shown(value: object) -> str:
    """A figure to a sensible number of places."""
    return f"{value:.4g}" if isinstance(value, float) else str(value)


def shipped() -> Base:
    """The shipped base."""
    return load([FOLDER])


def each(work: Callable[[Any], Result], items: Sequence[object]) -> list[Result]:
    """The work done on every item, in as many processes as there are processors."""
    _AT_WORK[:] = [work, items]
    with multiprocessing.get_context("fork").Pool(os.cpu_count()) as pool:
        return pool.map(_at_work, range(len(items)), chunksize=1)


def _at_work(number: int) -> Any:
    work, items = _AT_WORK
    return work(items[number])


class Stopwatch:
    """Processor time of this process in milliseconds: on a machine shared with others the clock on the wall lies."""

    def __init__(self) -> None:
        self.laps: list[float] = []

    @contextmanager
    def lap(self) -> Iterator[None]:
        """Time what is done inside."""
        began = time.process_time()
        yield
        self.laps.append(1000 * (time.process_time() - began))

    def percentile(self, percent: float) -> float:
        """The lap below which so many in a hundred lie."""
        return round(float(np.percentile(self.laps, percent)), 2)
