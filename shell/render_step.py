"""The next step on the screen: a question, a form, a danger to acknowledge; and the short form of each."""

from __future__ import annotations

from functools import singledispatch

from engine import explanation
from engine.costs import way
from engine.document import Next, asked
from engine.session import Ask, End, Fill, Session, Step, Warn
from engine.steps import (
    Beware,
    Cured,
    HowIsIt,
    HowOpened,
    Inspect,
    NameVehicle,
    Remeasure,
    SetAim,
    WhichVehicle,
    Work,
)
from engine.vehicle import words
from engine.wording import accepts, fault_name, fill, outcome_words, title
from shell.commands import at_the_end
from shell.layout import BLANK, Rows, heading, labelled, para, run_in
from shell.render_form import form_rows
from shell.render_mend import MendStep, mend_reminder, mend_rows
from shell.render_vehicle import vehicle_reminder, vehicle_rows
from shell.render_verdict import verdict
from shell.vehicle_words import VehicleStep
from shell.words import capital, few, minutes


@singledispatch
def step_rows(step: Step, session: Session, width: int) -> Rows:
    """The whole of a step, for when it comes up."""
    raise TypeError(step)


@step_rows.register
def _ask(step: Ask, session: Session, width: int) -> Rows:
    (one,) = asked(session)
    rows = [BLANK, *heading(capital(one.title), width, f"takes {minutes(one.minutes)}")]
    if step.again:
        rows += _look_again(session, step.question, width)
    rows += para(one.ask, width)
    rows += _dangers(session, step.question, width)
    rows += labelled("Need", [", ".join(one.tools)] if one.tools else [], width)
    rows += labelled("Open", _access(session, step.question), width)
    rows += labelled("Do", one.do, width)
    rows += labelled("Trap", [one.trap] if one.trap else [], width)
    rows += labelled("Shows", _settles(session, step.question), width)
    rows += labelled("Note", _hiding(session, step.question), width)
    return [*rows, BLANK, *outcomes(one, width), *_always(width)]


def outcomes(one: Next, width: int) -> Rows:
    """The answers to pick from, with their numbers."""
    size = max(len(choice.outcome) for choice in one.outcomes)
    rows: Rows = []
    for number, choice in enumerate(one.outcomes, 1):
        lead = f"{'' if one.unit else number:>2} "
        if size > width // 4:
            rows += run_in(lead, choice.outcome, choice.say, width, 1)
        else:
            rows += para(choice.say, width, "", f"{lead}{choice.outcome:<{size}}  ", "strong", 1)
    if one.unit:
        rows = [*para(f"Type {one.accepts}, or one of these:", width, indent=2), *rows]
    return rows


def _always(width: int) -> Rows:
    return para("Or: unsure, later, why, help", width, "faint", indent=2)


def _look_again(session: Session, question: str, width: int) -> Rows:
    clash = session.clash
    said = outcome_words(session, question, session.told[question]) if question in session.told else ""
    if clash is not None:
        names = few((title(session, name) for name in clash.questions if name != question), 6)
        text = f"Your answers cannot all be true. You said: {said} That does not go with {names}."
    elif session.verdict.kind == "unknown":
        text = f"Nothing known here fits all your answers. This one is the likeliest to be wrong: {said}"
    else:
        spoken = fault_name(session.base, explanation.denied(session, question))
        text = f"One answer does not go with the rest. You said: {said} The rest speaks for: {spoken}."
    hint = "This is the one most easily got wrong, so please look again. The same answer is fine, if it is so."
    return [*para(text, width, "warn"), *para(hint, width)]


def _dangers(session: Session, question: str, width: int) -> Rows:
    """The cautions; those of a question that has been answered before are named, and not said again in full."""
    base = session.base
    read = {name for one in session.answers for name in base.questions[one].cautions} | session.acknowledged
    cautions = session.dangers(question)
    texts = [f"{base.cautions[name].name}: {base.cautions[name].say}" for name in cautions if name not in read]
    before = [base.cautions[name].name for name in cautions if name in read]
    texts += [f"{', '.join(before)}: as said before. `help` and the name says it again."] if before else []
    return labelled("Mind", [fill(session, text) for text in texts], width, "warn")


def _access(session: Session, question: str) -> list[str]:
    """How to get there, for what is not open yet."""
    base = session.base
    return [
        f"{words(base, session.mending.vehicle, name)} "
        f"({minutes(session.prices.access.get(name, base.access[name].minutes))})"
        for name in way(base, base.questions[question].access)
        if name not in session.opened
    ]


def _settles(session: Session, question: str) -> list[str]:
    """Which suspects the answers would bring to the fore."""
    if question in session.base.circumstances or session.technology is None:
        return []
    gains: dict[str, float] = {}
    for branch in explanation.why(session, question).branches:
        for shift in branch.shifts:
            if shift.after > max(1.3 * shift.before, 0.02):
                gains[shift.name] = max(gains.get(shift.name, 0.0), shift.after - shift.before)
    best = sorted(gains, key=lambda name: -gains[name])
    return [f"whether to suspect {few(best)}."] if best else []


def _hiding(session: Session, question: str) -> list[str]:
    base = session.base
    if not base.questions[question].showing or not any(name in session.told for name in base.roles.showing):
        return []
    # The first outcome of such a question is the one that says it shows all the time.
    steady = all(session.told.get(name) == next(iter(base.questions[name].outcomes)) for name in base.roles.showing)
    hint = "It says little while the fault hides. Add `while hidden` or `while showing` to your answer if it matters."
    return [] if steady else [hint]


@step_rows.register
def _fill(step: Fill, session: Session, width: int) -> Rows:
    return form_rows(step, session, width)


@step_rows.register
def _warn(step: Warn, session: Session, width: int) -> Rows:
    base = session.base
    rows = [BLANK, *heading("Before you go on", width)]
    rows += para(f"The next step is: {title(session, step.question)}. It has dangers. Please read this first.", width)
    for name in step.cautions:
        caution = base.cautions[name]
        rows += [BLANK, *run_in("! ", caution.name, fill(session, caution.say), width, 0, "warn")]
    text = "Local rules and the maker's instructions come first. If in doubt, leave it to a licensed workshop."
    how = [
        ("understood", "you have read it and go on"),
        ("decline", "leave out every test with this danger"),
        ("later", "leave out this one for now"),
    ]
    return [
        *rows,
        BLANK,
        *para(text, width),
        BLANK,
        *(line for word, text in how for line in para(text, width, "", f"{word:<10}  ", "strong", 2)),
    ]


@step_rows.register
def _end(step: End, session: Session, width: int) -> Rows:
    rows = [BLANK, *verdict(session, width), BLANK]
    text = f"The search ends here. You can still say: {at_the_end(session)}"
    return [*rows, *para(text, width, "faint")]


@step_rows.register(Beware)
@step_rows.register(Work)
@step_rows.register(Remeasure)
@step_rows.register(HowIsIt)
@step_rows.register(Inspect)
@step_rows.register(SetAim)
@step_rows.register(Cured)
def _mend(step: MendStep, session: Session, width: int) -> Rows:
    return mend_rows(step, session, width)


@step_rows.register(WhichVehicle)
@step_rows.register(HowOpened)
@step_rows.register(NameVehicle)
def _vehicle(step: VehicleStep, session: Session, width: int) -> Rows:
    return vehicle_rows(step, session, width)


def reminder(step: Step, session: Session, width: int) -> Rows:
    """The short form of a step, after something else has been shown."""
    match step:
        case Ask(question=question):
            entry = session.base.questions[question]
            names = ", ".join(f"{number} {name}" for number, name in enumerate(entry.outcomes, 1))
            figure = f"{accepts(entry)}, or {', '.join(entry.outcomes)}" if entry.unit else names
            return [BLANK, *para(fill(session, entry.ask), width, "strong"), *para(figure, width, indent=2)]
        case Fill(form=form, items=items):
            names = ", ".join(f"{number} {title(session, name)}" for number, name in enumerate(items, 1))
            return [BLANK, *para(fill(session, session.base.forms[form].title), width, "strong"), *para(names, width)]
        case Warn():
            return [BLANK, *para("Have you read the dangers? understood, decline, or later", width, "strong")]
        case End():
            return []
        case WhichVehicle() | HowOpened() | NameVehicle():
            return vehicle_reminder(step, session, width)
    return mend_reminder(step, session, width)
