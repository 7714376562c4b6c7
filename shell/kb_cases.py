"""The command `kb cases`: runs the worked cases, as the regression tests of the rule base that they are."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from engine import cases
from engine.base import Base
from engine.cases import Ending, Ran, Unplayable
from engine.problems import Trouble, nearest
from shell.bases import base_of, folders
from shell.crew import Batch
from shell.crew import run as run_all
from shell.kb import BENCH
from shell.output import complain, say

_MORE = (
    "Each case is run twice: with all its answers given at once, and played, when the program asks and the case "
    "answers. Without NAME all are run. The exit code is 1 when a case does not end as it should."
)


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `cases` to the commands of the bench."""
    sub = subparsers.add_parser("cases", help=BENCH["cases"].help, description=_MORE)
    sub.add_argument("names", nargs="*", metavar="NAME", help="only these; a file of cases stands for all in it")
    sub.add_argument("--steps", action="store_true", help="write out the dialogue of each, step by step")
    sub.add_argument("--json", action="store_true", help="write how each ended as one JSON document")
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    base = base_of(args)
    names = chosen(base, args.names)
    if args.steps:
        return _steps(base, names)
    (found,) = run_all([Batch(folders(args), {name: base.cases[name] for name in names})], "cases")
    failed = [ran for ran in found.values() if ran.failings]
    if args.json:
        say(json.dumps({"cases": [plain(ran) for ran in found.values()], "failed": len(failed)}, indent=2))
    else:
        for line in wrong(base, failed):
            say(line)
        complain(f"{len(found)} {'case' if len(found) == 1 else 'cases'}, {len(failed)} not as they should be.")
    return 1 if failed else 0


def chosen(base: Base, said: Iterable[str]) -> list[str]:
    """The cases meant by ids, or by the names of files without their ending. Raises Trouble."""
    files: dict[str, list[str]] = {}
    for name in base.cases:
        files.setdefault(base.place("cases", name).file.rpartition("/")[2].removesuffix(".yaml"), []).append(name)
    found: dict[str, None] = {}
    for word in said:
        if word not in base.cases and word not in files:
            raise Trouble(f'There is no case "{word}"{nearest(word, [*base.cases, *files])}')
        found.update(dict.fromkeys([word] if word in base.cases else files[word]))
    return list(found or base.cases)


def wrong(base: Base, failed: Iterable[Ran]) -> list[str]:
    """What is wrong with cases, one line each, with their place."""
    return [f"{base.place('cases', ran.name)}: {ran.name}: {one}" for ran in failed for one in ran.failings]


def plain(ran: Ran) -> dict[str, Any]:
    """How a case ended, for JSON."""
    return {
        "case": ran.name,
        "failings": list(ran.failings),
        "told": _plain_ending(ran.told),
        "played": _plain_ending(ran.played),
    }


def _plain_ending(ending: Ending | None) -> Mapping[str, Any] | None:
    return asdict(ending) if ending else None


def _steps(base: Base, names: Iterable[str]) -> int:
    code = 0
    for name in names:
        case = base.cases[name]
        try:
            played = cases.play(base, case)
            lines = list(cases.dialogue(name, case, played))
        except Unplayable as exc:
            lines = [f"{name}: {exc}"]
        ran = cases.run(base, name, case)
        for line in (*lines, *wrong(base, [ran]), ""):
            say(line)
        code = code or (1 if ran.failings else 0)
    return code
