"""Why a question is asked, what would follow from an answer, and what speaks for and against a fault."""

from __future__ import annotations

from functools import reduce

from engine import explanation
from engine.events import Answered, Event, apply
from engine.explanation import Shift
from engine.session import Ask, End, Fill, Session, Step, Warn
from engine.wording import fact_words, fill, title
from shell.layout import BLANK, Rows, bullets, heading, para, row
from shell.render_trace import firing_rows
from shell.words import factor, likely, minutes, money, percent

VERDICTS = {
    "proved": "proved",
    "likely": "likely",
    "open": "still open",
    "normal": "nothing is broken",
    "elsewhere": "not in the headlamp",
    "unknown": "outside what is known here",
    "clash": "the answers contradict each other",
    "stopped": "stop, for safety",
}


def why(step: Step, question: str, session: Session, width: int) -> Rows:
    """Why the next step is what it is; or, with a question, what that one would settle."""
    if question:
        return _why_question(session, question, width)
    match step:
        case Ask(question=name) | Warn(question=name):
            return _why_question(session, name, width)
        case Fill(items=items):
            return _why_form(session, items, width)
        case End():
            return para("Nothing is asked any more: no test would save more than it costs.", width)
    return para("A repair is in hand: each step, its proof and its cause, so that it is done once.", width)


def _why_question(session: Session, question: str, width: int) -> Rows:
    rows = [BLANK, *heading(f"Why: {title(session, question)}", width)]
    if session.technology is None or not session.circuit.faults:
        text = "It decides which faults, rules and tests are in play. Before that, no odds can be given."
        return [*rows, *para(text, width)]
    found = explanation.why(session, question)
    rows += para(_worth(found, question in session.base.circumstances), width)
    rows += para(f"A sound car would show: {found.sound}.", width) if found.sound else []
    if question in session.answers:
        rows += para("You have answered it already; below is what each answer would do instead.", width)
    for number, branch in enumerate(found.branches, 1):
        say = fill(session, branch.say)
        rows += [BLANK, *para(say, width, "", f"{number} {branch.outcome}  ", "strong", 2)]
        if question not in session.base.circumstances:
            rows += para(f"Expected: {percent(branch.share)}. Then: {VERDICTS[branch.verdict]}.", width, indent=6)
        rows += shift_rows(branch.shifts, width, 6)
    return rows


def _worth(found: explanation.Why, circumstance: bool) -> str:
    cost = f"It takes {minutes(found.minutes)} ({money(found.cost)})."
    if circumstance:
        return f"{cost} It is about car or complaint: no evidence by itself, but it decides which rules may speak."
    if found.saving is None:
        return f"{cost} By itself it is not expected to save more than it costs."
    now = f"Acting now is expected to cost {money(found.act_now)}"
    return f"{cost} {now}; asking first saves {money(found.saving)} of that."


def _why_form(session: Session, items: tuple[str, ...], width: int) -> Rows:
    rows = [BLANK, *heading("Why: what each line can change", width)]
    if not session.circuit.faults:
        return [*rows, *para("It tells the program what else is affected.", width)]
    for number, item in enumerate(items, 1):
        rows += [BLANK, *para(title(session, item), width, "strong", f"{number:>2} ", "strong")]
        for branch in explanation.why(session, item).branches:
            moved = sorted(branch.shifts, key=lambda one: one.before - one.after)[:1]
            text = "; ".join(f"{one.name} {percent(one.before)} -> {percent(one.after)}" for one in moved)
            rows += para(text, width, "", f"{branch.outcome}: ", "", 4)
    return rows


def shift_rows(shifts: tuple[Shift, ...], width: int, indent: int) -> Rows:
    """How suspects move, one a line, the larger first."""
    size = min(max((len(one.name) for one in shifts), default=0), width - indent - 16)
    rows: Rows = []
    for one in sorted(shifts, key=lambda shift: -shift.after):
        figures = f"{percent(one.before):>5} -> {percent(one.after):>5}"
        lines = para(one.name, indent + size, indent=indent)
        last = "".join(text for _, text in lines[-1])
        lines[-1] = row(f"{last:<{indent + size}}  ", ("strong" if one.after > one.before else "", figures))
        rows += lines
    return rows


def suppose(session: Session, said: str, events: tuple[Event, ...], width: int) -> Rows:
    """What would follow from answers that are not given."""
    then = reduce(apply, events, session)
    rows = [BLANK, *heading(f"Suppose: {said or 'as it is'}", width)]
    told = [one for one in events if isinstance(one, Answered) and one.outcome is not None]
    rows += bullets((fact_words(session, one.question, one.outcome or "") for one in told), width)
    rows += shift_rows(explanation.shifts(session, then), width, 2)
    rows += para(f"Verdict then: {VERDICTS[then.verdict.kind]}. Next: {_next(then)}.", width)
    before = {firing.rule.id for firing in session.reasoning.firings}
    new = [one for one in then.reasoning.firings if one.rule.id not in before]
    if new:
        rows += [BLANK, *para("Rules that would speak", width, "strong")]
        rows += firing_rows(explanation.lines(then, new), width)
    return [*rows, *para("Nothing has been noted; this was only a thought.", width, "faint")]


def _next(session: Session) -> str:
    match session.step:
        case Ask(question=question) | Warn(question=question):
            return title(session, question)
        case Fill(form=form):
            return fill(session, session.base.forms[form].title)
    return "nothing more to ask"


def doubt(session: Session, fault: str, width: int) -> Rows:
    """What speaks for and against a fault."""
    found = explanation.doubt(session, fault)
    rows = [BLANK, *heading(f"In doubt: {found.name}", width, fault), *para(found.says, width)]
    moved = f"{percent(found.before)} before any test, {percent(found.now)} now"
    rows += [BLANK, *para(f"{moved}: {likely(found.now)}.", width)]
    if found.weights:
        rows += [BLANK, *para("What your answers did to it", width, "strong")]
        rows += bullets((f"{one.what.rstrip('.')}: {factor(one.factor)}." for one in found.weights), width)
    for head, lines in (("Ruled out by", found.excluded_by), ("Proved by", found.proved_by)):
        if lines:
            rows += [BLANK, *para(head, width, "strong"), *firing_rows(lines, width)]
    if found.excluded_by and found.now >= 0.02:
        rows += para("It keeps some odds because the answers it rests on could be a slip.", width, "faint")
    return rows
