"""Help on the screen: what can be typed, and what a word means."""

from __future__ import annotations

from collections.abc import Iterator

from engine.session import Session
from engine.wording import fill
from shell.commands import COMMANDS
from shell.layout import BLANK, Rows, heading, para
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
    found: dict[str, str] = {}
    for name, text in _meanings(session):
        found.setdefault(name, text)
    return found


def _meanings(session: Session) -> Iterator[tuple[str, str]]:
    base = session.base
    yield from ((name, f"Type `{f'{name} {after}'.strip()}`: {text}.") for name, (after, text) in COMMANDS.items())
    yield from base.terms.items()
    yield from ((name, f"{entry.name}: {entry.says}") for name, entry in base.faults.items())
    yield from ((name, f"{entry.name}. {entry.says or ''}") for name, entry in base.nodes.items())
    yield from ((name, f"{entry.name}. {entry.says or ''}") for name, entry in base.tools.items())
    yield from ((name, f"{entry.name}. {entry.says or ''}") for name, entry in base.access.items())
    yield from ((name, f"{entry.name}: {entry.say}") for name, entry in base.cautions.items())
    yield from ((name, f"{entry.name}: {entry.says}") for name, entry in base.technologies.items())
    for name, entry in base.questions.items():
        yield name, fill(session, f"{entry.title}: {entry.ask} {' '.join(entry.do)}")


def _meaning(session: Session, topic: str, width: int) -> Rows:
    words = glossary(session)
    names = {name: name.replace("-", " ") for name in words}
    names |= {name: entry.name for name, entry in session.base.faults.items() if name in names}
    found = pick(topic.replace(" ", "-") if topic.replace(" ", "-").casefold() in words else topic, names, "a word")
    if isinstance(found, str):
        return [BLANK, *para(words[found], width, "", f"{found.replace('-', ' ')}  ", "strong")]
    return [*para(found.message, width), *para(f"Words of the trade: {listed(session.base.terms)}.", width, "faint")]
