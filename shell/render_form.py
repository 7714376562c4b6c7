"""A form on the screen: its open lines, what can be said of each, and how to fill it in."""

from __future__ import annotations

from engine.costs import question_minutes
from engine.document import Choice, Next, asked
from engine.session import Fill, Session
from engine.wording import fill
from shell.layout import BLANK, Rows, heading, para
from shell.words import capital, minutes


def form_rows(step: Fill, session: Session, width: int) -> Rows:
    """The whole of a form."""
    form = session.base.forms[step.form]
    total = sum(question_minutes(session.base, session.prices, item, session.opened) for item in step.items)
    rows = [BLANK, *heading(capital(fill(session, form.title)), width, f"takes {minutes(total)}")]
    rows += [*para(fill(session, form.ask), width), BLANK]
    lines = asked(session)
    alike = len({one.outcomes for one in lines}) == 1
    said = [_besides(one, session.base.rest(step.form, one.question)) for one in lines]
    for number, one in enumerate(lines, 1):
        rows += para(one.title if alike else one.ask, width, "", f"{number:>2} ", "strong", 1)
        rows += [] if alike else _choices(_telling(said[number - 1]), width, 4)
    rows += [BLANK, *_choices(lines[0].outcomes, width, 4)] if alike else []
    return [*rows, BLANK, *_how(said, form.rest, width)]


def _choices(choices: tuple[Choice, ...], width: int, indent: int) -> Rows:
    size = max((len(one.outcome) for one in choices), default=0)
    return [line for one in choices for line in para(one.say, width, "", f"{one.outcome:<{size}}  ", "strong", indent)]


def _besides(one: Next, rest: str) -> tuple[Choice, ...]:
    return tuple(choice for choice in one.outcomes if choice.outcome != rest)


def _telling(choices: tuple[Choice, ...]) -> tuple[Choice, ...]:
    """The choices, unless there is one whose meaning only repeats its name."""
    plain = [choice.say.rstrip(".").casefold() == choice.outcome for choice in choices]
    return () if plain == [True] else choices


def _how(said: list[tuple[Choice, ...]], rest: str | None, width: int) -> Rows:
    first = said[0][0].outcome
    example = f"1 {first}, 2 unsure" if len(said) > 1 else f"1 {first}"
    alone = f"`{rest}` for all" if rest else "none of it"
    text = f"One line does it, such as: {example}. Enter alone: {alone}. Or: unsure, later, why, help"
    return para(text, width, "faint")
