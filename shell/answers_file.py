"""Reads a file of answers: `question: outcome or reading`, with remarks and prices, and says where it goes wrong."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from engine import never, yamltree
from engine.answers import Refused, interpret
from engine.events import Answered, Event, Priced, PutOff, Remarked, apply
from engine.givens import depth
from engine.problems import KnowledgeError, Place, Problem, error, nearest
from engine.session import Session
from engine.yamltree import Mapping, Scalar, Sequence, Tree
from shell.output import clean

APART = ("remarks", "prices")
PRICED = ("settings", "parts", "access")
STDIN = "-"


def read(session: Session, name: str) -> Session:
    """The session with all answers of a file. Raises KnowledgeError with everything that is wrong with it."""
    tree = yamltree.read_text(_stdin(), "<standard input>") if name == STDIN else yamltree.read_file(Path(name))
    reader = _Reader(session)
    for section in APART:
        if section in tree.items:
            getattr(reader, section)(tree.items[section])
    for question in sorted((name for name in tree.items if name not in APART), key=reader.depth):
        reader.question(question, tree.items[question], tree.keys[question])
    if reader.problems:
        raise KnowledgeError(reader.problems)
    return reader.session


def _stdin() -> str:
    try:
        return sys.stdin.read(yamltree.MAX_BYTES) if sys.stdin is not None else ""
    except UnicodeDecodeError as wrong:
        raise KnowledgeError([error(Place("<standard input>", 1, 1), "not-text", "this is not UTF-8 text")]) from wrong


class _Reader:
    """Takes entries one after another into a session, and collects what is wrong."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.problems: list[Problem] = []

    def wrong(self, place: Place, code: str, message: str) -> None:
        self.problems.append(error(place, code, message))

    def take(self, event: Event) -> None:
        self.session = apply(self.session, event)

    def depth(self, question: str) -> int:
        """How late a question must be taken: readings are worked out with the help of others."""
        base = self.session.base
        return depth(base, question) if question in base.questions else 0

    def question(self, question: str, tree: Tree, place: Place) -> None:
        known = self.session.base.questions
        if question not in known:
            forbidden = never.refusal(self.session.base, question)
            if forbidden:
                self.wrong(place, "never-measured", forbidden)
                return
            hint = nearest(question, [*known, *APART]) or "; `lampwright diagnose` shows the ids"
            self.wrong(place, "unknown-question", f'there is no question "{question}"{hint}')
            return
        hidden = None
        if isinstance(tree, Mapping):
            tree, hidden = self._with_showing(tree)
        if not isinstance(tree, Scalar):
            self.wrong(place, "bad-answer", f"{question} takes one answer, or `{{answer: X, showing: no}}`")
            return
        if tree.text.strip().casefold() == "later" and "later" not in known[question].outcomes:
            self.take(PutOff(question))
            return
        found = interpret(self.session, question, clean(tree.text))
        if isinstance(found, Refused):
            self.wrong(tree.place, "bad-answer", f"{question}: {found.message}")
            return
        answer = replace(found.answer, hidden=hidden)
        self.take(Answered(question, answer.outcome, answer.said, answer.reading, answer.working, hidden))

    def _with_showing(self, tree: Mapping) -> tuple[Tree, bool | None]:
        hidden = None
        for key in tree.items.keys() - {"answer", "showing"}:
            self.wrong(tree.keys[key], "unknown-key", f'an answer has no "{key}"; allowed: answer, showing')
        showing = tree.items.get("showing")
        if showing is not None:
            text = showing.text if isinstance(showing, Scalar) else ""
            if text not in ("yes", "no"):
                self.wrong(showing.place, "bad-showing", "showing is yes or no: did the fault show just then")
            hidden = text == "no"
        return tree.items.get("answer", tree), hidden

    def remarks(self, tree: Tree) -> None:
        for item in tree.items if isinstance(tree, Sequence) else [tree]:
            if isinstance(item, Scalar):
                self.take(Remarked(clean(item.text)))
            else:
                self.wrong(item.place, "bad-remark", "remarks are a list of sentences")

    def prices(self, tree: Tree) -> None:
        for section, body in tree.items.items() if isinstance(tree, Mapping) else []:
            if section not in PRICED or not isinstance(body, Mapping):
                allowed = "prices has `settings:`, `parts:` and `access:`, each with names and figures below it"
                self.wrong(body.place, "bad-price", allowed)
                continue
            for name, figure in body.items.items():
                self._price(section, name, figure, body.keys[name])
        if not isinstance(tree, Mapping):
            self.wrong(tree.place, "bad-price", "prices has `settings:`, `parts:` and `access:` below it")

    def _price(self, section: str, name: str, figure: Tree, place: Place) -> None:
        base = self.session.base
        known = {"settings": list(base.settings), "parts": list(base.repairs), "access": list(base.access)}[section]
        if name not in known:
            self.wrong(place, "unknown-name", f'{section} has no "{name}"{nearest(name, known)}')
            return
        try:
            value = float(figure.text) if isinstance(figure, Scalar) else float("nan")
        except ValueError:
            value = float("nan")
        if not 0 <= value <= 100_000:
            self.wrong(figure.place, "bad-price", f"{name} needs a figure from 0 to 100,000")
            return
        event = {"settings": Priced("settings", name, value), "parts": Priced("parts", name, value)}
        self.take(event.get(section) or Priced("access", name, value))
