"""The command `rehearse`: practice on a car with a hidden fault, in the terminal or line by line."""

from __future__ import annotations

import argparse
import secrets
import shutil
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

from engine.average import average
from engine.base import Base
from engine.debrief import cures, debrief, spent
from engine.problems import Trouble, nearest
from engine.rehearsal import Car, NoSuchCar, askable, hide
from engine.session import Session
from engine.wording import in_words, title
from shell import keeping, output, pipe, rehearsals
from shell import render_rehearsal as render
from shell.bases import base_of
from shell.layout import Rows, fit, para
from shell.names import Refusal, match_words, pick
from shell.words import minutes, money

HELP = "practise: find a fault that is hidden, and see what the search cost"
_MORE = (
    "The car is invented; its fault is drawn by the odds. Without a terminal, one line of input is one thing typed; "
    "with --fault the first line is the fault. Results are kept where jobs are kept, without the fault."
)
LARGEST = 10**6
_LEAVING = ("leave", "park", "quit", "exit")


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `rehearse` to a program's parser."""
    sub = subparsers.add_parser("rehearse", help=HELP, description=_MORE)
    sub.add_argument("--seed", metavar="N", type=int, help="the same car for all who use this number")
    sub.add_argument("--technology", metavar="T", help="the kind of lamp")
    sub.add_argument("--complaint", metavar="C", help="what the lamp does")
    hidden = "for a trainer: be asked for the fault to hide; what is typed does not show"
    # A value is taken only to be refused with a reason: others can read the command line of a running program.
    sub.add_argument("--fault", nargs="?", const="", metavar="", help=hidden)
    sub.add_argument("--progress", action="store_true", help="show how rehearsals went over time")
    sub.add_argument("--json", action="store_true", help="with --progress: as one JSON list")
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    width = fit(shutil.get_terminal_size().columns)
    if args.progress:
        results = rehearsals.read(rehearsals.place(args))
        if args.json:
            output.say(rehearsals.as_json(results))
        else:
            output.show(render.progress_rows(results, width))
        return 0
    base = base_of(args)
    car = _car(args, base)
    practice = Practice(car, width, rehearsals.place(args))
    output.show(render.opening_rows(car, width))
    _converse(practice)
    return 0


def _car(args: argparse.Namespace, base: Base) -> Car:
    _check("technology", args.technology, base.technologies)
    _check("complaint", args.complaint, base.questions[base.roles.complaint].outcomes)
    if args.fault:
        raise Trouble(
            "Others can read the command line. Say --fault alone; you are then asked, and what you type does not show"
        )
    fault = _fault(base) if args.fault is not None else None
    seed = args.seed if args.seed is not None else secrets.randbelow(LARGEST)
    try:
        return hide(base, seed, fault, args.technology, args.complaint)
    except NoSuchCar:
        raise Trouble("There is no such car: that fault does not go with that lamp and complaint") from None


def _check(what: str, said: str | None, known: Iterable[str]) -> None:
    names = list(known)
    if said is not None and said not in names:
        raise Trouble(f'There is no {what} "{said[:40]}"{nearest(said, names)}')


def _fault(base: Base) -> str:
    """The fault a trainer types unseen. Nothing like it is said back: the trainee may look on."""
    if pipe.is_terminal(sys.stdin, sys.stdout):
        from getpass import getpass

        typed = getpass("Fault to hide (does not show): ")
    else:
        typed = sys.stdin.readline() if sys.stdin is not None else ""
    found = pick(typed.strip(), {name: one.name for name, one in base.faults.items()}, "a fault")
    if isinstance(found, Refusal):
        raise Trouble("No single fault is meant by what was typed. `lampwright kb show` finds its id")
    return found


@dataclass
class Practice:
    """A rehearsal under way: what was asked, what was repaired, and whether it has ended."""

    car: Car
    width: int
    file: Path
    session: Session = field(init=False)
    asked: list[str] = field(default_factory=list)
    repairs: list[tuple[str, ...]] = field(default_factory=list)
    ended: bool = False

    def __post_init__(self) -> None:
        self.session = self.car.opening

    def take(self, line: str) -> Rows | Refusal:
        """What a line leads to."""
        first, _, rest = " ".join(line.split()).partition(" ")
        word, rest = first.casefold(), rest.strip()
        if word in _LEAVING:
            self.ended = True
            return para("Left. Nothing is kept of it.", self.width)
        doing: dict[str, Callable[[str], Rows | Refusal]] = {
            "": lambda _: Refusal("Type a question, or `help`"),
            "help": lambda _: render.help_rows(self.width),
            "known": lambda _: render.known_rows(self.car, self.session, self.asked, self.width),
            "suspects": lambda said: render.suspect_rows(self.session, said, self.width),
            "find": lambda said: render.question_rows(self.session, match_words(said, self._titles()), self.width),
            "spend": lambda _: self._spend(),
            "reveal": lambda _: self._end(),
            "list": self._list,
            "declare": self._declare,
        }
        return doing[word](rest) if word in doing else self._ask(" ".join(line.split()))

    def _titles(self) -> dict[str, str]:
        return {name: title(self.session, name) for name in askable(self.session)}

    def _list(self, rest: str) -> Rows | Refusal:
        themes: dict[str, list[str]] = {}
        for name in askable(self.session):
            themes.setdefault(Path(self.car.base.place("questions", name).file).stem, []).append(name)
        if not rest:
            return render.theme_rows(themes, self.width)
        theme = pick(rest, {name: in_words(name) for name in themes}, "a theme")
        return theme if isinstance(theme, Refusal) else render.question_rows(self.session, themes[theme], self.width)

    def _ask(self, said: str) -> Rows | Refusal:
        names = self._titles()
        asked = {name: title(self.session, name) for name in self.session.answers}
        if said.casefold() in asked:
            return Refusal("That is known already; `known` shows it")
        found = pick(said, names, "a question for this car")
        if isinstance(found, Refusal):
            return Refusal(f"{found.message}. `list` and `find WORDS` show questions".replace("..", "."))
        before, answer = self.session, self.car.answer(self.session, found)
        self.session = before.answer(found, answer)
        self.asked.append(found)
        return render.answer_rows(before, found, answer, self.width)

    def _spend(self) -> Rows:
        so_far = spent(self.car, self.asked, self.repairs)
        return para(
            f"So far {minutes(so_far.minutes)} and {money(so_far.money)}, minutes and repairs included.", self.width
        )

    def _declare(self, rest: str) -> Rows | Refusal:
        names = {name: self.car.base.faults[name].name for name in self.session.circuit.faults}
        found = pick(rest, names, "a fault of this lamp") if rest else Refusal("Say which: declare FAULT")
        if isinstance(found, Refusal):
            return found
        self.repairs.append(self.car.base.faults[found].repair)
        if cures(self.car.base, self.car.fault, self.repairs):
            return [*para("You do the repair, and the lamp works as it should.", self.width, "good"), *self._end()]
        return para("You do the repair. The lamp is as before. It goes on.", self.width, "warn")

    def _end(self) -> Rows:
        self.ended = True
        car, found = self.car, debrief(self.car, self.asked, self.repairs)
        result = rehearsals.Result(
            keeping.now(), car.seed, car.technology, car.complaint, found.cured, len(self.asked), len(self.repairs),
            found.own.minutes, found.own.money, found.planner.minutes, found.planner.money,
            found.best.money if found.best else None,
        )  # fmt: skip
        rehearsals.keep(self.file, result)
        rows = render.debrief_rows(car, found, average(car.opening), self.width)
        return [*rows, *para(f"Seed {car.seed} makes the same car again.", self.width, "faint")]


def _converse(practice: Practice) -> None:
    typing = pipe.is_terminal(sys.stdin, sys.stdout)
    number = 0
    while not practice.ended:
        try:
            line = input("\n> ") if typing else _line()
        except EOFError:
            break
        number += 1
        if not typing:
            output.say(f"\n> {output.clean(line)}")
        found = practice.take(output.clean(line))
        if isinstance(found, Refusal):
            if not typing:
                raise Trouble(f"Line {number}: {found.message}")
            output.say(found.message)
        else:
            output.show(found)


def _line() -> str:
    line = sys.stdin.readline(pipe.LONGEST + 1) if sys.stdin is not None else ""
    if not line:
        raise EOFError
    return line.rstrip("\r\n")
