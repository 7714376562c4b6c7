"""Reads a form that was filled in on one line, such as `1 dead, 3 dim`."""

from __future__ import annotations

import re

from engine.answers import UNSURE
from engine.session import Answer, Fill, Session
from engine.wording import title
from shell.names import Refusal, listed, match_words

REST = ("", "rest", "all", "none")
_JOINING = ("and", "is", "are", "the")


def fill_in(session: Session, step: Fill, line: str) -> dict[str, Answer] | Refusal:
    """An answer for every open item: what the line names, and for the others what the form takes for granted."""
    rest = {item: session.base.rest(step.form, item) for item in step.items}
    said = line.strip().casefold()
    named: dict[str, Answer] = {}
    if said in UNSURE:
        named = {item: Answer(None, said) for item in step.items}
    elif said not in (*REST, *rest.values()):
        read = _read(session, step, said)
        if isinstance(read, Refusal):
            return read
        named = read
    return {item: named.get(item, Answer(rest[item])) for item in step.items}


def words_of(session: Session, step: Fill) -> list[str]:
    """The outcomes that a form's items can have."""
    return list(dict.fromkeys(name for item in step.items for name in session.base.questions[item].outcomes))


def _read(session: Session, step: Fill, said: str) -> dict[str, Answer] | Refusal:
    outcomes = words_of(session, step)
    found: dict[str, Answer] = {}
    group: list[str] = []
    for word in re.findall(r"[^\s,;]+", said):
        outcome = None if word in UNSURE else _outcome(session, step, outcomes, word)
        if outcome is None and word not in UNSURE:
            group += [] if word in _JOINING else [word]
            continue
        items = _items(session, step, group, outcome or "unsure")
        if isinstance(items, Refusal):
            return items
        for item in items:
            if outcome is not None and outcome not in session.base.questions[item].outcomes:
                allowed = listed(session.base.questions[item].outcomes)
                return Refusal(f"{title(session, item)} cannot be {outcome}. It can be {allowed}, or unsure")
            found[item] = Answer(outcome, said)
        group = []
    return _bare(session, step, group, found) if group else found


def _bare(session: Session, step: Fill, group: list[str], found: dict[str, Answer]) -> dict[str, Answer] | Refusal:
    """What is named with nothing said of it: clear where an item has one outcome beside the one taken for granted."""
    items = _items(session, step, group, words_of(session, step)[-1])
    if isinstance(items, Refusal):
        return items
    for item in items:
        left = [name for name in session.base.questions[item].outcomes if name != session.base.rest(step.form, item)]
        if len(left) > 1:
            return Refusal(f"{title(session, item)}: {' or '.join(left)}? Say it after the number")
        found[item] = Answer(left[0])
    return found


def _outcome(session: Session, step: Fill, outcomes: list[str], word: str) -> str | None:
    if word in outcomes:
        return word
    starts = [name for name in outcomes if len(word) >= 3 and name.startswith(word)]
    titles = {item: title(session, item) for item in step.items}
    return starts[0] if len(starts) == 1 and not match_words(word, titles) else None


def _items(session: Session, step: Fill, group: list[str], outcome: str) -> list[str] | Refusal:
    """The items that numbers and words stand for."""
    titles = {item: title(session, item) for item in step.items}
    numbers = [word for word in group if word.isdecimal()]
    words = " ".join(word for word in group if not word.isdecimal())
    wrong = [number for number in numbers if len(number) > 3 or not 1 <= int(number) <= len(step.items)]
    if wrong:
        return Refusal(f"There is no number {wrong[0][:9]} here. The lines go from 1 to {len(step.items)}")
    found = [step.items[int(number) - 1] for number in numbers]
    if words:
        meant = match_words(words, titles)
        if len(meant) != 1:
            these = [f"{step.items.index(item) + 1} {titles[item]}" for item in meant or step.items]
            say = "could be" if meant else "is none of these:"
            return Refusal(f'"{words}" {say} {"; ".join(these)}. Say the number')
        found += meant
    if not found and len(step.items) == 1:
        return list(step.items)
    if not found:
        return Refusal(f"Which one is {outcome}? Say its number first, as in `1 {outcome}`")
    return found
