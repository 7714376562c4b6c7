"""The command `kb stats`: counts of the rule base, by technology too, and where it is thin."""

from __future__ import annotations

import argparse
import json
import shutil
from collections.abc import Sequence
from dataclasses import asdict

from engine.stats import Pattern, Stats, stats
from shell import output
from shell.bases import base_of
from shell.kb import BENCH
from shell.layout import BLANK, Rows, fit, heading, para, row
from shell.outside import outside_checks

_MORE = "Counts what the base holds, with everything laid over it, and says where it is thin."


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `stats` to the commands of the bench."""
    sub = subparsers.add_parser("stats", help=BENCH["stats"].help, description=_MORE)
    sub.add_argument("--json", action="store_true", help="write it as one JSON document, with every id")
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    found = stats(base_of(args))
    tests = outside_checks()
    checks = found.counts["cases_published"] if tests is None else tests
    if args.json:
        document = {
            **found.counts,
            "outside_checks": checks,
            "by_technology": [asdict(one) for one in found.lamps],
            "patterns_covered": found.covered,
            "by_pattern": [asdict(one) for one in found.patterns],
            "rules_without_published_source": list(found.bare),
        }
        output.say(json.dumps(document, indent=2))
    else:
        output.show(_rows(found, checks, fit(shutil.get_terminal_size().columns)))
    return 0


def _rows(found: Stats, checks: int, width: int) -> Rows:
    counts = {**found.counts, "outside_checks": checks}
    rows = heading("The rule base", width)
    wanted = [
        *("technologies", "faults", "questions", "outcomes", "rules", "conclusions", "repairs", "cautions", "causes"),
        *("terms", "cases", "outside_checks"),
    ]
    rows += [row(f"  {name.replace('_', ' '):<16}{counts[name]:>6}") for name in wanted]
    rows += [BLANK, *heading("By technology", width)]
    head = ("", "faults", "questions", "rules", "cases")
    table = [
        head,
        *((one.technology, *map(str, (one.faults, one.questions, one.rules, one.cases))) for one in found.lamps),
    ]
    rows += _table(table)
    rows += [BLANK, *heading("Complaints: faults listed, and worked cases", width), *_patterns(found.patterns)]
    bare = [f"{one.technology} {one.complaint}" for one in found.patterns if one.listed and not one.cases]
    rows += para(f"Listed but without a case: {', '.join(bare)}.", width) if bare else []
    share = len(found.bare) / max(counts["rules"], 1)
    text = f"{len(found.bare)} of {counts['rules']} rules ({share:.0%}) have no published source (--json lists them)."
    return [*rows, BLANK, *para(text, width)]


def _table(lines: Sequence[Sequence[str]]) -> Rows:
    sizes = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return [
        row(*((("strong" if not number or not index else ""), f"  {cell:<{size}}" if not index else f"  {cell:>{size}}")
              for index, (cell, size) in enumerate(zip(line, sizes, strict=True))))
        for number, line in enumerate(lines)
    ]  # fmt: skip


def _patterns(patterns: Sequence[Pattern]) -> Rows:
    lamps = list(dict.fromkeys(one.technology for one in patterns))
    by = {(one.technology, one.complaint): one for one in patterns}
    complaints = list(dict.fromkeys(one.complaint for one in patterns))
    lines = [
        [complaint, *(f"{by[lamp, complaint].listed}/{by[lamp, complaint].cases}" for lamp in lamps)]
        for complaint in complaints
    ]
    keys = [f"({number}) {lamp}" for number, lamp in enumerate(lamps, 1)]
    head = ["", *(f"({number})" for number in range(1, len(lamps) + 1))]
    return [*_table([head, *lines]), *para(f"Faults/cases by lamp: {', '.join(keys)}.", 78, "faint", indent=2)]
