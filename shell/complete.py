"""Completion: what can follow what has been typed, with its meaning beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document

from engine.session import Ask, End, Fill, Session, Step, Warn
from engine.wording import outcome_words, title
from shell import figures_of_own
from shell.commands import COMMANDS
from shell.form_line import words_of
from shell.mend_words import offers as mend_offers
from shell.output import clean
from shell.render_help import glossary
from shell.tables_at_hand import tables


def offers(session: Session, step: Step, text: str) -> dict[str, str]:
    """Words that may be typed where the text ends, each with its meaning; the text's own last word is not yet done."""
    words = text.lstrip().split(" ")
    if len(words) == 1:
        return {**_answers(session, step), **{name: meaning for name, (_, meaning) in COMMANDS.items()}}
    if isinstance(step, Fill) and words[0] not in COMMANDS:
        return _answers(session, step)
    return _after(session, step, words[0].casefold()) if len(words) == 2 else {}


def _answers(session: Session, step: Step) -> dict[str, str]:
    match step:
        case Ask(question=question):
            return {name: outcome_words(session, question, name) for name in session.base.questions[question].outcomes}
        case Fill():
            return {name: "" for name in words_of(session, step)}
        case Warn():
            return {"understood": "you have read it and go on", "decline": "leave out tests with this danger"}
        case End():
            return {}
    return mend_offers(session, step)


def _after(session: Session, step: Step, command: str) -> dict[str, str]:
    """What may follow a command."""
    base = session.base
    match command:
        case "doubt":
            return {name: base.faults[name].name for name, _ in session.belief.ranking()}
        case "amend":
            return {name: title(session, name) for name in (*reversed(list(session.answers)), *sorted(session.later))}
        case "why":
            return {name: title(session, name) for name in base.questions}
        case "suppose":
            return _answers(session, step)
        case "mend" | "buy":
            names = dict.fromkeys(name for one in session.verdict.actions for name in one.repairs)
            return {name: base.repairs[name].name for name in names}
        case "cause":
            return {name: base.causes[name].name for name in session.open_causes or base.causes}
        case "stamp":
            return {name.casefold(): row.kind for name, row in tables(base).light_sources.items()}
        case "price" | "minutes":
            return figures_of_own.choices(session, command)
        case "help":
            return glossary(session)
    return {}


class Words(Completer):
    """Offers of a session's step to a line editor."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.step = session.step

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        """The offers that start with the word before the cursor, whatever their case."""
        return self._matching(document.text_before_cursor)

    def _matching(self, text: str) -> Iterator[Completion]:
        word = text.rpartition(" ")[2].rpartition(",")[2].casefold()
        if not text.strip():
            return
        for name, meaning in offers(self.session, self.step, text).items():
            if name.startswith(word):
                yield Completion(name, -len(word), display_meta=clean(meaning)[:60])
