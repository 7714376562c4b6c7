"""Runs worked cases in several processes at once, with a bar that says how far they are."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from engine import cases
from engine.base import Base
from engine.cases import Ran
from engine.loading import load
from engine.schema import Case
from shell.output import Bar


class Batch(NamedTuple):
    """A rule base by its folders, and the cases to run on it."""

    folders: Sequence[Path]
    cases: Mapping[str, Case]


def run(batches: Sequence[Batch], what: str, only_told: bool = False) -> list[dict[str, Ran]]:
    """What became of the cases of each batch, by name. Raises KnowledgeError when a base does not load."""
    total = sum(len(batch.cases) for batch in batches)
    found: list[dict[str, Ran]] = [{} for _ in batches]
    with Bar(what, total) as bar, _pool(total) as pool:
        waiting = {
            pool.submit(_one, tuple(map(str, batch.folders)), name, case, only_told): (number, name)
            for number, batch in enumerate(batches)
            for name, case in batch.cases.items()
        }
        for done in as_completed(waiting):
            number, name = waiting[done]
            found[number][name] = done.result()
            bar.step()
    return [{name: ran[name] for name in batch.cases} for batch, ran in zip(batches, found, strict=True)]


@contextmanager
def _pool(tasks: int) -> Iterator[ProcessPoolExecutor]:
    pool = ProcessPoolExecutor(max_workers=max(1, min(os.cpu_count() or 1, tasks)))
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


_bases: dict[tuple[str, ...], Base] = {}  # of a worker process, so that each reads a base once


def _one(folders: tuple[str, ...], name: str, case: Case, only_told: bool) -> Ran:
    if folders not in _bases:
        _bases[folders] = load(list(map(Path, folders)))
    return cases.run(_bases[folders], name, case, only_told)
