"""The command `kb show`: an entry in plain sentences, and what is expected under a fault."""

from __future__ import annotations

import argparse
import shutil
from collections.abc import Mapping, Sequence

from engine import entries
from engine.base import Base
from engine.expected import Expected, expected, technologies_of
from engine.problems import Trouble, nearest
from engine.telling import Told, tell
from shell import output
from shell.bases import base_of
from shell.kb import BENCH
from shell.layout import BLANK, Rows, bar, bullets, fit, heading, para, row
from shell.words import capital, percent

_MORE = (
    "THING is the id or the name of anything in the base: a rule, question, fault, repair, caution, root cause, term, "
    "technology, conclusion and so on. What several entries share is shown of each."
)


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `show` to the commands of the bench."""
    sub = subparsers.add_parser("show", help=BENCH["show"].help, description=_MORE)
    sub.add_argument("thing", metavar="THING", nargs="?", help="its id or name")
    sub.add_argument("--expectations", metavar="FAULT", help="print what is expected under a fault, and by which rules")
    kind = "the kind of lamp, for --expectations (default: the first that the fault is in play for)"
    sub.add_argument("--technology", metavar="T", help=kind)
    known = "a circumstance that is known, for --expectations; may be given again"
    sub.add_argument("--given", metavar="QUESTION=OUTCOME", action="append", default=[], help=known)
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    base, width = base_of(args), fit(shutil.get_terminal_size().columns)
    if args.expectations is not None:
        output.show(_expectations(base, args, width))
        return 0
    if args.thing is None:
        raise Trouble(
            "Say what to show, by its id or name, as in: lampwright kb show fuse. `kb stats` counts what is there"
        )
    found = entries.find(base, args.thing)
    if not found:
        hint = entries.near(base, args.thing) or ". Another word of its name may do"
        raise Trouble(f'There is no "{args.thing[:60]}" in this base{hint}')
    if len({name for _, name in found}) > 1:
        for line in (f'"{args.thing}" could be any of these. Say one id:', *(_one_line(base, *key) for key in found)):
            output.say(line)
        return 0
    for key in found:
        output.show(told_rows(tell(base, *key), width))
    return 0


def _one_line(base: Base, section: str, name: str) -> str:
    return f"  {name}  {entries.SINGULAR[section]}: {entries.plain(base, entries.title(base, section, name))}"


def told_rows(told: Told, width: int) -> Rows:
    """An entry on the screen."""
    rows = heading(capital(told.title), width, f"{told.kind} {told.name}")
    rows += para(told.place, width, "faint") if told.place else []
    for part in told.parts:
        if len(part.lines) == 1:
            rows += para(_ended(part.lines[0]), width, "", f"{part.head}: ", "strong")
        else:
            rows += [row(("strong", f"{part.head}:")), *bullets(map(_ended, part.lines), width)]
    return [*rows, BLANK]


def _ended(line: str) -> str:
    return line if line.endswith((".", "?", "!", ":")) else f"{line}."


def _expectations(base: Base, args: argparse.Namespace, width: int) -> Rows:
    fault = pick_fault(base, args.expectations)
    known = technologies_of(base, fault)
    if not known:
        raise Trouble(f'The fault "{fault}" is in play for no technology yet. List it under `frequencies` of one')
    technology = args.technology or known[0]
    if technology not in known:
        raise Trouble(f'The fault "{fault}" is not in play for "{technology}"{nearest(technology, known)}')
    found = expected(base, fault, technology, _given(base, args.given))
    rows = heading(f"Expected under: {base.faults[fault].name}", width, base.technologies[technology].name)
    others = ", ".join(one for one in known if one != technology)
    rows += para(f"In play for these too: {others} (--technology).", width, "faint") if others else []
    rows += para("First what tells most. In brackets: how often where the fault lies elsewhere.", width, "faint")
    for one in found:
        rows += _expected_rows(base, one, width) if one.spoken else []
    silent = [one.question for one in found if not one.spoken]
    rows += [BLANK, *para(f"No rule speaks of this fault on: {', '.join(silent)}.", width)] if silent else []
    return rows


def pick_fault(base: Base, said: str) -> str:
    """The fault a word means. Raises Trouble naming the nearest."""
    found = [name for section, name in entries.find(base, said) if section == "faults"]
    if len(found) == 1:
        return found[0]
    if found:
        raise Trouble(f'"{said}" could be any of these faults: {", ".join(found)}. Say one id')
    raise Trouble(f'There is no fault "{said[:60]}"{nearest(said.casefold(), base.faults)}')


def _given(base: Base, said: Sequence[str]) -> Mapping[str, str]:
    found = {}
    for one in said:
        name, _, value = one.partition("=")
        if name not in base.circumstances:
            raise Trouble(f'--given {one}: there is no circumstance "{name}"{nearest(name, base.circumstances)}')
        outcomes = base.questions[name].outcomes
        if value not in outcomes:
            raise Trouble(f'--given {one}: {name} has no outcome "{value}"{nearest(value, outcomes)}')
        found[name] = value
    return found


def _expected_rows(base: Base, one: Expected, width: int) -> Rows:
    title = entries.plain(base, base.questions[one.question].title)
    rows = [BLANK, row(("strong", capital(title)), ("faint", f"  {one.question}"))]
    size = max(len(seen.outcome) for seen in one.outcomes)
    for seen in one.outcomes:
        lead = f"  {seen.outcome:<{size}}  {bar(seen.share, 12)} {percent(seen.share):>6} ({percent(seen.usual)})"
        by = [f"{spoken.rule} {_verb(spoken.effect.kind, spoken.effect.strength)}" for spoken in seen.rules]
        rows.append(row(lead))
        rows += para(", ".join(by), width, "faint", indent=size + 4) if by else []
    return rows


def _verb(kind: str, strength: str) -> str:
    return entries.VERBS[kind] + (f" ({strength})" if strength else "")
