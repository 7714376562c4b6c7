"""The command `kb chart`: the rule base as a picture or as Mermaid text, and the table of faults and questions."""

from __future__ import annotations

import argparse
from pathlib import Path

from engine import entries
from engine.argument import Graph
from engine.base import Base
from engine.problems import Trouble, nearest
from shell.bases import base_of
from shell.kb import BENCH
from shell.output import complain, say
from shell.words import percent

_MORE = (
    "Without THING the whole base is drawn, by chapter: a chapter is a file of questions or rules. With THING, a rule, "
    "question, conclusion or fault, it is drawn with all that leads to it and away from it. Mermaid text goes to the "
    "screen unless --svg names a file."
)


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `chart` to the commands of the bench."""
    sub = subparsers.add_parser("chart", help=BENCH["chart"].help, description=_MORE)
    sub.add_argument("thing", metavar="THING", nargs="?", help="the rule, question, conclusion or fault to draw around")
    form = sub.add_mutually_exclusive_group()
    form.add_argument("--mermaid", action="store_true", help="write Mermaid text to the screen (the default)")
    form.add_argument("--svg", metavar="FILE", type=Path, help="write a picture into this file")
    words = "draw the table of faults and questions of a technology, in which missing knowledge shows"
    sub.add_argument("--table", metavar="TECHNOLOGY", help=words)
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    base = base_of(args)
    if args.table is not None:
        if args.svg is None or args.thing is not None:
            raise Trouble("The table is a picture of one technology. Say: kb chart --table TECHNOLOGY --svg FILE")
        _write(args.svg, _table(base, args.table))
        return 0
    graph = _graph(base, args.thing)
    if args.svg is None:
        from engine.mermaid import mermaid

        say(mermaid(graph))
    else:
        from engine.picture import draw

        # The picture takes its ground from the page it is on; a file of its own has a page of its own.
        _write(args.svg, draw(graph, "chart", percent).replace('"Canvas"', '"white"'))
    return 0


def _graph(base: Base, thing: str | None) -> Graph:
    from engine import chart

    if thing is None:
        graph, left = chart.whole(base, lambda section, name: chapter(base, section, name))
        if left:
            complain(f"{left} lighter lines are left out, so that the others can be followed.")
        return graph
    found = [key for key in entries.find(base, thing) if key[0] in chart.SECTIONS]
    if not found:
        hint = nearest(thing.casefold(), [name for section in chart.SECTIONS for name in getattr(base, section)])
        raise Trouble(f'There is no rule, question, conclusion or fault "{thing[:60]}"{hint}')
    if len(found) > 1:
        listed = ", ".join(f"{name} ({entries.SINGULAR[section]})" for section, name in found[:8])
        raise Trouble(f'"{thing}" could be {listed}{" and more" if len(found) > 8 else ""}. Say one id')
    graph = chart.around(base, *found[0])
    if not graph.edges:
        raise Trouble(f'Nothing leads to "{found[0][1]}" or away from it, so there is nothing to draw')
    return graph


def chapter(base: Base, section: str, name: str) -> str:
    """The chapter of an entry: the name of its file."""
    return Path(base.place(section, name).file).stem


def _table(base: Base, technology: str) -> str:
    from engine import heatmap

    if technology not in base.technologies:
        raise Trouble(f'There is no technology "{technology}"{nearest(technology, base.technologies)}')
    chapters = {name: chapter(base, "questions", name) for name in base.questions}
    return heatmap.draw(base, technology, heatmap.table(base, technology, chapters))


def _write(file: Path, picture: str) -> None:
    try:
        file.write_text(picture, encoding="utf-8")
    except OSError as exc:
        raise Trouble(f"{file} cannot be written: {exc.strerror or exc}. Name another file") from exc
    say(f"written: {file}")
