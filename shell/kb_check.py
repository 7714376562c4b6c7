"""The command `kb check`: everything wrong or doubtful in the rule base, in one run, as text, JSON or annotations."""

from __future__ import annotations

import argparse
import json
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from engine.problems import Problem, Trouble, nearest
from shell.bases import folders
from shell.kb import BENCH
from shell.output import complain, say

FORMATS = ("text", "json", "github")
_MORE = (
    "Without PATH the whole base is looked over and everything is reported. With PATH only what stands there is; a "
    "file or folder outside the base is laid over it first. A doubt that does not hold is allowed by a remark at the "
    "end of its line: # kb: allow CODE - reason. The exit code is 1 when there are errors, 0 when there are none."
)
_GITHUB = {"error": "error", "warning": "warning", "advice": "notice"}


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `check` to the commands of the bench."""
    sub = subparsers.add_parser("check", help=BENCH["check"].help, description=_MORE)
    sub.add_argument("paths", nargs="*", metavar="PATH", type=Path, help="report only what stands in these")
    sub.add_argument("--format", choices=FORMATS, default="text", help="how to write it (default: text)")
    words = "print the manual page of a code; without CODE, list all codes"
    sub.add_argument("--explain", nargs="?", const="", metavar="CODE", help=words)
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    if args.explain is not None:
        return _explain(args.explain)
    from engine.audit.inspection import inspect_paths  # here: `--explain` needs no inspection

    base = folders(args)
    for path in (*base, *args.paths):
        if not path.exists():
            raise Trouble(f"{path}: there is no such file or folder. Mend the path")
    outside = [path for path in args.paths if not any(_within(path, folder) for folder in base)]
    found = inspect_paths([*base, *outside])
    shown = found.problems
    if args.paths and found.loads:  # what keeps the base from loading is shown wherever it stands
        shown = tuple(one for one in shown if any(_within(Path(one.place.file), path) for path in args.paths))
    counts = Counter(problem.severity for problem in shown)
    for line in _WRITERS[args.format](shown, counts):
        say(line)
    if args.format == "text":
        complain(_summary(counts, found.loads))
    return 1 if counts["error"] else 0


def _explain(code: str) -> int:
    from engine.audit import manual

    if not code:
        width = max(map(len, manual.codes()))
        for name, words in sorted(manual.codes().items()):
            say(f"{name:{width}}  {words}")
        return 0
    try:
        say(manual.page(code))
    except KeyError:
        hint = nearest(code, manual.codes()).lstrip("; ")
        raise Trouble(f'There is no check "{code}". {hint[:1].upper()}{hint[1:]} `--explain` alone lists all') from None
    return 0


def _within(path: Path, folder: Path) -> bool:
    return path.resolve().is_relative_to(folder.resolve())


def _summary(counts: Counter[str], loads: bool) -> str:
    errors, warnings, advice = (counts[severity] for severity in _GITHUB)
    told = f"{errors} error{_s(errors)}, {warnings} warning{_s(warnings)}, {advice} piece{_s(advice)} of advice."
    return told if loads else f"{told} The base does not load yet; mend the errors and the other checks will run too."


def _s(count: int) -> str:
    return "" if count == 1 else "s"


def _text(problems: Sequence[Problem], counts: Counter[str]) -> list[str]:
    return [str(problem) for problem in problems]


def _json(problems: Sequence[Problem], counts: Counter[str]) -> list[str]:
    rows = [
        {**problem.place._asdict(), "severity": problem.severity, "code": problem.code, "message": problem.message}
        for problem in problems
    ]
    totals = {"errors": counts["error"], "warnings": counts["warning"], "advice": counts["advice"]}
    return [json.dumps({"problems": rows, **totals}, indent=2, ensure_ascii=False)]


def _github(problems: Sequence[Problem], counts: Counter[str]) -> list[str]:
    return [
        f"::{_GITHUB[problem.severity]} file={_property(problem.place.file)},line={problem.place.line},"
        f"col={problem.place.column},title={problem.code}::{_data(problem.message)}"
        for problem in problems
    ]


def _data(text: str) -> str:
    """Text as an annotation takes it, where a percent sign starts an escape."""
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")


_WRITERS = {"text": _text, "json": _json, "github": _github}
