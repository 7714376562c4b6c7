"""Runs the benchmarks and writes what they found into DEVELOPERS.md, with the command above each figure.

`python -m tests.benchmarks.results [--write] [--quick] [--only NAME]`: without `--write` the page goes to the screen.
With `--only` the other sections stay as they are.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import re
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

PAGE = Path(__file__).parents[2] / "DEVELOPERS.md"
BEGIN, END = "<!-- results -->", "<!-- end results -->"
Found = Mapping[str, Any]


def table(rows: list[tuple[str, object, str]]) -> Iterator[str]:
    """A table of figures beside what is wanted of them."""
    yield from ("| | measured | wanted |", "|---|---|---|")
    yield from (f"| {name} | {value} | {wanted} |" for name, value, wanted in rows)


def questioning(found: Found) -> Iterator[str]:
    """Costs as multiples of the optimum, and of simulated jobs."""
    slices = found["slices"]
    yield f"On {len(slices)} slices of about a dozen faults and {_span(slices)} questions, chosen by rule:"
    yield ""
    yield from table(
        [
            ("planner, as a multiple of the exact optimum, mean", found["mean_vs_optimum"], "at most 1.02"),
            ("the same on the worst slice", found["worst_vs_optimum"], "at most 1.05"),
            ("planner, as a multiple of replacing in order, mean", found["mean_vs_replacing"], "at most 0.65"),
            ("the optimum, as a multiple of replacing in order", found["optimum_vs_replacing"], ""),
            ("one question ahead over the optimum, mean", found["one_ahead_vs_optimum"], ""),
            ("one question ahead on the worst slice", found["one_ahead_worst"], ""),
            ("fixed chart over the optimum, mean", found["chart_vs_optimum"], ""),
            ("fixed chart on the worst slice", found["chart_worst"], ""),
        ]
    )
    yield ""
    whole = found["whole_base"]
    for run, said in (("as_expected", "answers as expected"), ("one_in_twenty_wrong", "one answer in twenty wrong")):
        rows = whole[run]
        known = rows["perfect_information"]
        yield f"Simulated jobs on the whole base, {said}; with the fault known beforehand {known} u:"
        yield ""
        yield "| | jobs | cost, u | over perfect | questions | right | right when proved | sound parts bought |"
        yield "|---|---|---|---|---|---|---|---|"
        for way, row in rows.items():
            if isinstance(row, Mapping):
                told = way.replace("_", " ")
                proved = row["right_when_proved"] if row["right_when_proved"] is not None else ""
                right = row["right_at_the_end"] if way != "replacing" else ""
                cells = (told, row["jobs"], row["cost"], round(row["cost"] / known, 2), row["questions"], right, proved)
                yield "| " + " | ".join(map(str, (*cells, row["sound_parts"]))) + " |"
        yield ""
    yield "Right: what is named at the end of the asking cures. Where trying a repair costs less than telling it from"
    yield "its neighbours, the asking stops before that; the cost counts the repairs tried until the cure."


def _span(slices: list[Found]) -> str:
    counts = sorted(one["questions"] for one in slices)
    return f"{counts[0]} to {counts[-1]}"


def speed(found: Found) -> Iterator[str]:
    """Ratios first; milliseconds are those of the machine."""
    ratio, wanted = found["reasoning_vs_clips"], {"today": "at most 3", "2000": "at most 10"}
    sizes = {row["base"]: row for row in found["reasoning"]}
    rows: list[tuple[str, object, str]] = [
        (
            f"30 findings, {base} ({sizes[base]['rules']:,} rules): time over that of CLIPS",
            f"{value} ({sizes[base]['experta_ms']} ms)",
            wanted.get(base, ""),
        )
        for base, value in ratio.items()
    ]
    today, grown = found["next_question"], found["next_question_ten_times_the_rules"]
    start = f"{found['start_vs_imports']} ({found['start_ms']} ms; the very first {found['first_start_ms']} ms)"
    rows += [
        ("start to first question, over the bare imports", start, "at most 2"),
        (
            "answer to next question, median and 95th percentile, ms",
            f"{today['p50_ms']}, {today['p95_ms']}",
            "below 100",
        ),
        ("the same at ten times the rules", f"{grown['p50_ms']}, {grown['p95_ms']}", ""),
        ("memory at the first question, MB", found["memory_at_first_question_mb"], ""),
        ("memory after many jobs in one process, MB", found["memory_after_jobs_mb"], ""),
    ]
    yield from table(rows)


def abuse(found: Found) -> Iterator[str]:
    """What was tried and what broke."""
    files, lines, bombs, stranger = (found[name] for name in ("files", "lines", "bombs", "stranger"))
    yield from table(
        [
            (
                f"{files['tried']:,} mutated files: tracebacks, hangs",
                f"{files['tracebacks']}, {files['hangs']}",
                "0, 0",
            ),
            (
                f"{lines['tried']:,} lines at {lines['prompts']} prompts of {len(lines['kinds_of_prompt'])} kinds: "
                "tracebacks, hangs",
                f"{lines['tracebacks']}, {lines['hangs']}",
                "0, 0",
            ),
            (f"{bombs['tried']} bombs: tracebacks, hangs", f"{bombs['tracebacks']}, {bombs['hangs']}", "0, 0"),
            ("a bomb's most seconds, MB", f"{bombs['most_seconds']}, {bombs['most_mb']}", "bounded"),
            ("a stranger's base: control characters on the screen", stranger["control_characters_on_screen"], "0"),
            ("direction marks on the screen", stranger["direction_marks_on_screen"], "0"),
            ("active things in the page", len(stranger["active_in_page"]), "0"),
            ("read outside, templates run", f"{stranger['read_outside']}, {stranger['templates_run']}", "False, False"),
            ("writes outside, processes, connections", len(stranger["against_the_rules"]), "0"),
        ]
    )


def agreement(found: Found) -> Iterator[str]:
    """Cases and differences."""
    random, shipped, odds, plans = (found[name] for name in ("random_rules", "shipped_rules", "odds", "plans"))
    cases = random["cases"] + shipped["cases"]
    apart = random["disagreements"] + shipped["disagreements"]
    yield from table(
        [
            (f"firings with CLIPS and plain code, {cases:,} cases: disagreements", apart, "0"),
            (f"odds with pgmpy, {odds['cases']} cases: largest difference", f"{odds['largest_difference']:.1e}", ""),
            (
                f"optimum with plain search, {plans['cases']} small bases: largest difference, u",
                f"{plans['largest_difference_of_optima']:.1e}",
                "",
            ),
            ("planner over the best found by search, mean", plans["planner_vs_search_mean"], ""),
            ("the same on the worst", plans["planner_vs_search_worst"], ""),
        ]
    )


def kills(found: Found) -> Iterator[str]:
    """What was lost."""
    yield from table(
        [
            (f"{found['kills']} kills, {found['acknowledged']} events acknowledged: lost", found["lost"], "0"),
            ("other events than those typed", found["altered"], "0"),
            ("databases that failed their check", found["broken"], "0"),
            ("resumed where it stood", found["resumed_alike"], "True"),
        ]
    )


SECTIONS: dict[str, tuple[str, str, Callable[[Found], Iterator[str]]]] = {
    "questioning": ("The questioning", "questioning", questioning),
    "speed": ("Speed", "speed", speed),
    "abuse": ("What it stands", "abuse", abuse),
    "agreement": ("Agreement", "agreement", agreement),
    "kills": ("Killed while it works", "kills --shipped", kills),
}


def section(name: str, quick: bool) -> str:
    """One section, measured now."""
    title, command, words = SECTIONS[name]
    arguments = [*command.split(), *(["--quick"] if quick else [])]
    run = subprocess.run(
        [sys.executable, "-m", f"tests.benchmarks.{arguments[0]}", *arguments[1:], "--json"],
        stdout=subprocess.PIPE,
        cwd=PAGE.parent,
        check=False,
    )
    found = json.loads(run.stdout)
    shown = f"    python -m tests.benchmarks.{' '.join(arguments)}"
    took = f"Took {found['seconds']:,.0f} s on {_machine()}."
    return "\n".join([f"### {title}", "", shown, "", *words(found), "", took, ""])


def _machine() -> str:
    return f"{os.cpu_count()} processors, Python {platform.python_version()}"


def merged(page: str, fresh: Mapping[str, str]) -> str:
    """The page with the fresh sections between its marks, in order; sections not measured now stay."""
    before, rest = page.split(BEGIN, 1)
    old, after = rest.split(END, 1)
    parts = {part.split("\n", 1)[0]: part for part in re.findall(r"### .*?(?=\n### |\Z)", old, re.DOTALL)}
    kept = [fresh.get(name, parts.get(f"### {title}", "")) for name, (title, _, _) in SECTIONS.items()]
    return before + BEGIN + "\n\n" + "\n".join(part.rstrip() + "\n" for part in kept if part) + "\n" + END + after


def main() -> int:
    """Measure, and write or tell."""
    told = argparse.ArgumentParser("python -m tests.benchmarks.results", description=__doc__)
    told.add_argument("--write", action="store_true", help="into DEVELOPERS.md, between its marks")
    told.add_argument("--quick", action="store_true", help="less of everything")
    told.add_argument("--only", choices=SECTIONS, action="append", help="measure only this; may be given again")
    args = told.parse_args()
    fresh = {name: section(name, args.quick) for name in args.only or SECTIONS}
    if args.write:
        PAGE.write_text(merged(PAGE.read_text(encoding="utf-8"), fresh), encoding="utf-8")
    else:
        print("\n".join(fresh.values()))
    return 0


if __name__ == "__main__":
    sys.exit(main())
