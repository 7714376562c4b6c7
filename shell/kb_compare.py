"""The command `kb compare`: what a change of the rules moved, worst first; the review before it is merged."""

from __future__ import annotations

import argparse
import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict

from engine.base import Base
from engine.comparison import Comparison, Edited, Moved, Way, asked_of, compare, edited
from engine.loading import load
from engine.problems import KnowledgeError, Trouble
from engine.suspicion import Doubtful, doubtful
from shell.bases import base_of, folders
from shell.crew import Batch
from shell.crew import run as run_all
from shell.kb import BENCH
from shell.older import older
from shell.output import say

_MORE = (
    "OLD is a git revision, such as HEAD or a branch, a folder with a rule base, or `shipped` for the base that comes "
    "with the program, without what is laid over it. The worked cases are run on both "
    "bases as they are written now; cases that are gone are run as they were. The exit code is 1 when a case ends "
    "wrong, or with its fault ruled out, that did not before."
)
SHOWN = 12  # doubtful effects of rules that are written out
_WAYS: dict[Way, str] = {
    "worse": "Cases that end worse",
    "moved": "Cases that moved",
    "better": "Cases that end better",
}


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `compare` to the commands of the bench."""
    sub = subparsers.add_parser("compare", help=BENCH["compare"].help, description=_MORE)
    sub.add_argument("old", metavar="OLD", help="a git revision, a folder, or shipped")
    sub.add_argument("--told", action="store_true", help="only cases told at once: fast, but blind to next questions")
    sub.add_argument("--json", action="store_true", help="write it as one JSON document")
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    new, now = base_of(args), folders(args)
    with older(args.old, now) as then:
        try:
            old = load(then)
        except KnowledgeError as wrong:
            raise Trouble(f"The base of {args.old} cannot be used by this program:\n{wrong}") from wrong
        changes = edited(old, new)
        cases = {**old.cases, **new.cases}
        gone = set(old.cases) - set(new.cases)
        moved = Comparison((), len(cases), tuple(gone))
        if changes or old.roles != new.roles:
            batches = [Batch(f, {n: asked_of(c, b) for n, c in cases.items()}) for f, b in ((then, old), (now, new))]
            moved = compare(cases, gone, *run_all(batches, "cases, on both bases", args.told))
    rules = [one.entry for one in changes if one.section == "rules" and one.how != "removed"]
    doubts = doubtful(old, new, rules)
    if args.json:
        say(json.dumps(_plain(changes, moved, doubts), indent=2))
    else:
        for line in _lines(args.old, new, changes, moved, doubts):
            say(line)
    return 1 if moved.fails else 0


def _plain(changes: Sequence[Edited], moved: Comparison, doubts: Sequence[Doubtful]) -> dict[str, object]:
    counts: dict[str, int] = {way: moved.count(way) for way in _WAYS}
    return {
        "summary": {**counts, "fails": moved.fails, "cases": moved.total},
        "gone": list(moved.gone),
        "entries": [asdict(one) for one in changes],
        "cases": [asdict(one) for one in moved.moved],
        "rules": [{**asdict(one), "against": one.against} for one in doubts],
    }


def _lines(
    old: str, new: Base, changes: Sequence[Edited], moved: Comparison, doubts: Sequence[Doubtful]
) -> Iterator[str]:
    for way, head in _WAYS.items():
        ones = [one for one in moved.moved if one.way == way]
        if ones:
            yield f"{head}:"
            for one in ones:
                yield from _case(new, one)
    if doubts:
        yield "Rules that would mislead, by what the older base expects under each fault:"
        for doubt in doubts[:SHOWN]:
            yield _doubt(new, doubt)
        if len(doubts) > SHOWN:
            yield f"  and {len(doubts) - SHOWN} more, each with less weight (--json lists them)"
    for name in moved.gone:
        yield f"No longer in the base: case {name}"
    yield f"Since {old}: {_changed(changes)}. {_summary(moved)}"


def _case(new: Base, one: Moved) -> Iterator[str]:
    place = f"{new.place('cases', one.case)}: " if one.case in new.cases else ""
    yield f"  {place}{one.case}"
    for line in one.lines:
        yield f"    {line}"


def _doubt(new: Base, one: Doubtful) -> str:
    verb = "rules out" if one.kind == "excludes" else "speaks against"
    known = (
        f"the older base knows this of {one.fault}: CONTRADICTION"
        if one.against
        else "nothing was known of it: make sure that it is so"
    )
    place = new.place("rules", one.rule)
    return f"  {place}: {one.rule} {verb} {one.fault}, but would be met in {one.met:.0%} of such cars; {known}"


def _changed(changes: Sequence[Edited]) -> str:
    counts = Counter((one.section, one.how) for one in changes)
    found = [f"{section} {how}: {count}" for (section, how), count in counts.items()]
    return ", ".join(found) or "no entry differs"


def _summary(moved: Comparison) -> str:
    same = moved.total - len(moved.moved)
    fails = f", {moved.fails} of them end wrong now or rule out their fault" if moved.fails else ""
    told = f"{moved.count('worse')} worse{fails}; {moved.count('moved')} moved; {moved.count('better')} better"
    return f"{moved.total} {'case' if moved.total == 1 else 'cases'}: {told}; {same} as before."
