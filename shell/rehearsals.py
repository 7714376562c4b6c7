"""The results of rehearsals: a line of JSON each, in the folder where jobs are kept; never which fault was hidden."""

from __future__ import annotations

import argparse
import json
import os
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from pydantic import TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass

from engine.problems import Trouble
from shell import keeping
from shell.output import complain

FILE = "rehearsals.jsonl"


@dataclass(frozen=True)
class Result:
    """A finished rehearsal: costs of the trainee, of the planner, and the least there could be (None: not known)."""

    time: datetime
    seed: int
    technology: str
    complaint: str
    cured: bool
    questions: int
    declared: int
    minutes: float
    money: float
    planner_minutes: float
    planner_money: float
    best_money: float | None

    @property
    def ratio(self) -> float:
        """What was spent for each unit that the planner would have spent."""
        return self.money / max(self.planner_money, 0.01)


_RESULT = TypeAdapter(Result)


def place(args: argparse.Namespace) -> Path:
    """The file of results."""
    return keeping.place(args).with_name(FILE)


def keep(path: Path, result: Result) -> None:
    """Add a result, safe on the disk; where that cannot be, say so and go on."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("ab") as file:
            file.write(_RESULT.dump_json(result) + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except OSError as exc:
        complain(f"The result is not kept ({exc.strerror or exc}: {path}). `--data DIR` keeps it elsewhere.")


def read(path: Path) -> Sequence[Result]:
    """All results, oldest first; a line that was cut short is passed over. Raises Trouble when they cannot be read."""
    try:
        lines = path.read_bytes().splitlines() if path.exists() else []
    except OSError as exc:
        raise Trouble(f"{path} cannot be read ({exc.strerror or exc}). Allow reading it, or use --data DIR") from exc
    found = []
    for line in lines:
        try:
            found.append(_RESULT.validate_json(line))
        except ValidationError:
            continue
    return found


def as_json(results: Sequence[Result]) -> str:
    """The results as one JSON list."""
    return json.dumps([_RESULT.dump_python(one, mode="json") for one in results], indent=2)
