"""Jobs for the shell's tests: held from a list of lines, with everything written and kept at hand afterwards."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from engine.events import Event
from engine.session import Ask, Fill, Session, Warn
from shell.dialogue import Desk, Kept, converse, forget
from shell.layout import Rows, text_of
from shell.names import Refusal
from tests.small import small_base

OPENED = ("lamp", "dead", "yes", "")  # the small base's opening: a dead lamp, showing now, the other light works


@dataclass
class Held:
    """A dialogue that was held: how the session ended, what was written, refused and kept."""

    session: Session
    rows: Rows = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    kept: list[Event] = field(default_factory=list)

    @property
    def text(self) -> str:
        """All that was written, in one string with single spaces."""
        return " ".join(" ".join(text_of(self.rows)).split())


def play(answers: Mapping[str, str], session: Session | None = None, width: int = 80) -> Held:
    """Hold a dialogue to its end: these answers, `unsure` to everything else, every danger read."""

    def line(session: Session) -> str:
        match session.step:
            case Ask(question=question):
                return answers.get(question, "unsure")
            case Fill(items=items):
                return ", ".join(f"{number} {answers[item]}" for number, item in enumerate(items, 1) if item in answers)
            case Warn():
                return "understood"
        raise EOFError

    return _hold(line, session, width)


def hold(lines: Iterable[str], session: Session | None = None, width: int = 80) -> Held:
    """Hold a dialogue with these lines."""
    left = iter(lines)

    def line(session: Session) -> str:
        found = next(left, None)
        if found is None:
            raise EOFError
        return found

    return _hold(line, session, width)


def _hold(read: Callable[[Session], str], session: Session | None, width: int) -> Held:
    held = Held(session or Session(small_base()))

    def keep(session: Session, events: Sequence[Event]) -> Kept:
        held.kept.extend(events)
        return forget(session, events)

    def refuse(refusal: Refusal) -> None:
        held.refused.append(refusal.message)

    held.session = converse(held.session, Desk(read, held.rows.extend, refuse, lambda: width), keep)
    return held
