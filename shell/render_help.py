"""Help on the screen: what can be typed, and what a word means."""

from __future__ import annotations

from collections.abc import Iterator

from engine import never
from engine.session import Session
from engine.wording import fill, in_words, title
from shell.commands import COMMANDS
from shell.layout import BLANK, Rows, heading, para, run_in
from shell.names import listed, pick

SIZE = 19


def help_rows(session: Session, topic: str, width: int) -> Rows:
    """All commands, or the meaning of one word: a command, a term, a fault, a question, a part, a tool."""
    return _meaning(session, topic, width) if topic else _commands(width)


def _commands(width: int) -> Rows:
    rows = [BLANK, *heading("What you can type", width)]
    rows += para("Answer with the number, the word or its start; a reading as a figure, such as 12.4 or 380 mV.", width)
    rows += para("Add `while hidden` to an answer if the fault did not show at that moment.", width)
    rows.append(BLANK)
    for name, (after, meaning) in COMMANDS.items():
        rows += para(meaning, width, "", f"{f'{name} {after}':<{SIZE}} ", "strong", 2)
    keys = "Keys: F1 help, F2 why, Tab completes, arrow up brings back lines, Ctrl-C clears the line, Ctrl-D leaves."
    rows += [BLANK, *para(keys, width)]
    return [*rows, *para("Questions, faults and words go by their id, its start, or words of their name.", width)]


def glossary(session: Session) -> dict[str, str]:
    """Every word that has a meaning here, by id."""
    return {name: text for name, (_, text) in _entries(session).items()}


def _entries(session: Session) -> dict[str, tuple[str, str]]:
    """For each id its name and its meaning; where two things share an id, the first."""
    found: dict[str, tuple[str, str]] = {}
    for one, name, text in _meanings(session):
        found.setdefault(one, (name, text))
    return found


def _meanings(session: Session) -> Iterator[tuple[str, str, str]]:
    base = session.base
    for name, (after, text) in COMMANDS.items():
        yield name, name, f"Type `{f'{name} {after}'.strip()}`: {text}."
    yield from ((name, in_words(name), text) for name, text in base.terms.items())
    yield from ((name, entry.name, entry.says) for name, entry in base.faults.items())
    yield from ((name, entry.name, entry.says) for name, entry in base.technologies.items())
    yield from ((name, entry.name, entry.say) for name, entry in base.cautions.items())
    for section in (base.nodes, base.tools, base.access):
        yield from ((name, entry.name, entry.says or entry.name) for name, entry in section.items())
    for name, entry in base.questions.items():
        yield name, title(session, name), fill(session, f"{entry.ask} {' '.join(entry.do)}")


def _meaning(session: Session, topic: str, width: int) -> Rows:
    forbidden = never.refusal(session.base, topic)
    if forbidden:
        return [BLANK, *para(forbidden, width, "warn")]
    entries = _entries(session)
    found = pick(topic, {name: words for name, (words, _) in entries.items()}, "a word")
    if isinstance(found, str):
        return [BLANK, *run_in("", entries[found][0], entries[found][1], width, 0)]
    words = para(f"Words of the trade: {listed(session.base.terms)}.", width, "faint") if session.base.terms else []
    return [*para(found.message, width), *words]
