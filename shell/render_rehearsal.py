"""A rehearsal on the screen: what the driver says, lists, an answer, the debrief, and the progress over time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from engine.average import Average
from engine.costs import question_cost, question_minutes
from engine.debrief import Debrief, Spent, Step
from engine.rehearsal import Car
from engine.session import Answer, Session
from engine.wording import fault_name, fill, outcome_words, title
from shell.layout import BLANK, Rows, bar, bullets, heading, labelled, para, row
from shell.rehearsals import Result
from shell.words import capital, minutes, money

COMMANDS = {
    "list [THEME]": "the themes of questions, or the questions of one with their minutes and cost",
    "find WORDS": "questions that have these words",
    "QUESTION": "ask it, by its id or words of its title; it costs its minutes",
    "known": "what has been said and found so far",
    "spend": "what it has cost so far",
    "suspects [WORDS]": "the faults that this kind of lamp can have",
    "declare FAULT": "do its repair; if the lamp works then, you are done",
    "reveal": "give up and be told",
    "leave": "leave; nothing is kept of it",
}
LATEST = 5


def opening_rows(car: Car, width: int) -> Rows:
    """What the trainee starts from."""
    session = car.opening
    rows = heading("A car for practice, invented", width)
    rows += para("A fault is hidden in it. Find it, spending as little as you can.", width)
    said = [name for name in session.told if name not in session.base.about_tools]
    rows += [BLANK, row(("strong", "What you are told, free of charge:"))]
    usual = [name for name in said if name not in session.base.circumstances]
    rows += bullets((_fact(session, name) for name in said if name in session.base.circumstances), width)
    rows += bullets((_fact(session, name) for name in usual), width)
    return [*rows, BLANK, *help_rows(width)]


def help_rows(width: int) -> Rows:
    """What can be typed."""
    size = max(map(len, COMMANDS))
    rows: Rows = [row(("strong", "You can type:"))]
    for said, words in COMMANDS.items():
        rows += para(words, width, "", f"{said:<{size}}  ", "key", 2)
    return rows


def _fact(session: Session, name: str) -> str:
    answer = session.answers[name]
    said = f" ({answer.said})" if answer.reading is not None else ""
    return f"{capital(title(session, name))}: {outcome_words(session, name, answer.outcome or '')}{said}"


def known_rows(car: Car, session: Session, asked: Sequence[str], width: int) -> Rows:
    """What has been found so far."""
    told = [name for name in session.told if name not in asked and name not in session.base.about_tools]
    return [
        row(("strong", "Told:")),
        *bullets((_fact(session, name) for name in told), width),
        row(("strong", "Found:")),
        *(bullets((_fact(session, name) for name in asked), width) or [row("  nothing yet")]),
    ]


def theme_rows(themes: Mapping[str, Sequence[str]], width: int) -> Rows:
    """The themes, and how many questions each has left."""
    rows: Rows = [row(("strong", "Themes (list THEME shows its questions):"))]
    size = max(map(len, themes), default=0)
    return rows + [row(f"  {name:<{size}}  {len(names):>3}") for name, names in themes.items()]


def question_rows(session: Session, names: Iterable[str], width: int) -> Rows:
    """Questions with what each would take from here."""
    base, prices = session.base, session.prices
    rows: Rows = []
    for name in names:
        takes = minutes(question_minutes(base, prices, name, session.opened))
        cost = money(question_cost(base, prices, name, session.opened))
        rows += para(f"{title(session, name)}  {takes}, {cost}", width, "", f"{name}  ", "key", 2)
    return rows or [row("  none is left")]


def answer_rows(before: Session, question: str, answer: Answer, width: int) -> Rows:
    """A question, its dangers, how it is done, and what this car shows."""
    base, entry = before.base, before.base.questions[question]
    takes = minutes(question_minutes(base, before.prices, question, before.opened))
    rows = [
        BLANK,
        *heading(capital(title(before, question)), width, f"took {takes}"),
        *para(fill(before, entry.ask), width),
    ]
    read = {name for one in before.answers for name in base.questions[one].cautions}
    dangers = [f"{base.cautions[one].name}: {base.cautions[one].say}" for one in entry.cautions if one not in read]
    rows += labelled("Mind", dangers, width, "warn")
    rows += labelled("Do", [fill(before, line) for line in entry.do], width)
    said = answer.said if answer.reading is not None else outcome_words(before, question, answer.outcome or "")
    return [*rows, *para(said, width, "good", "The car shows: ", "strong")]


def suspect_rows(session: Session, words: str, width: int) -> Rows:
    """Every fault the lamp can have, whatever was found; those that have all the words."""
    wanted = words.casefold().split()
    names = [(fault, fault_name(session.base, fault)) for fault in session.circuit.faults]
    found = [(one, name) for one, name in names if all(word in f"{one} {name}".casefold() for word in wanted)]
    return [one for fault, name in found for one in para(name, width, "", f"{fault}  ", "key", 2)] or [row("  none")]


def debrief_rows(car: Car, found: Debrief, mean: Average, width: int) -> Rows:
    """How it went."""
    base = car.base
    entry = base.faults[car.fault]
    repairs = ", then ".join(base.repairs[name].name for name in entry.repair)
    rows = [BLANK, *heading("Looking back", width)]
    rows += para(f"It was: {entry.name}. {entry.says} What cures it: {repairs}.", width, "strong")
    rows += [BLANK, *_cost("You", found.own, width), *_cost("The program", found.planner, width)]
    if found.best is not None:
        rows += _cost("At best", found.best, width)
        rows += para(
            "At best: the cheapest tests that make it likely on this car, for one who knew which.", width, "faint"
        )
    else:
        rows += para("No three tests alone would have made it likely on this car.", width)
    rows += [BLANK, *_average(mean, width)]
    if found.in_vain:
        names = ", ".join(base.repairs[name].name for name in found.in_vain)
        rows += para(f"Bought or done in vain: {names}.", width, "warn")
    if found.least is not None:
        rows += para(_least(car, found.least), width)
    elif found.own.questions:
        rows += para("Every question was about as good as any you could have asked then.", width, "good")
    return rows


def _cost(who: str, spent: Spent, width: int) -> Rows:
    count = len(spent.questions)
    tests = f"{_number(count, 'question')}, {_number(len(spent.repairs), 'repair')}"
    more = ", then handed on" if spent.handed_on else ""
    rows = para(f"{minutes(spent.minutes)}, {money(spent.money)} ({tests}{more})", width, "", f"{who:<12}", "strong")
    return rows + (para(", ".join(spent.questions), width, "faint", indent=12) if spent.questions else [])


def _number(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _average(mean: Average, width: int) -> Rows:
    count = _number(max(len(mean.questions), 1), "test")
    text = (
        f"On average, over all that a car like this can have: {money(mean.at_once)} with no tests, "
        f"{money(mean.planner)} by the program, {money(mean.best)} by the best order of the {count} that tell most, "
        f"and {money(mean.known)} if the fault were known. Money holds your minutes, at the value of an hour."
    )
    return para(text, width)


def _least(car: Car, step: Step) -> str:
    name = title(car.opening, step.question)
    if not step.heard:
        why = "no rule looks at its answer on this lamp"
    elif step.moved < 0.03:
        why = "whatever the answer, the odds would hardly have moved"
    elif step.worth < 0.5:
        why = "it could move the odds, but hardly change which repair comes first"
    else:
        why = f"it could be expected to save {money(step.worth)} more than it cost"
    better = ""
    if step.best is not None:
        better = f" Better then: {title(car.opening, step.best)}, worth {money(step.best_worth)}."
    elif step.best_worth <= 0:
        better = " Better then: to act, for no question was worth its cost any more."
    return f"Worth least: {name}, for {money(step.money)}: {why}.{better}"


def progress_rows(results: Sequence[Result], width: int) -> Rows:
    """All rehearsals, oldest first, and how the latest compare with the first."""
    if not results:
        return para("No rehearsal is kept yet. `lampwright rehearse` begins one.", width)
    rows = heading("Rehearsals", width, "spent against the program (1 is as good)")
    for one in results:
        mark = "found" if one.cured else "not found"
        what = f"{one.time.astimezone():%Y-%m-%d %H:%M}  {one.technology} {one.complaint}, seed {one.seed}: {mark}"
        figures = f"{minutes(one.minutes)}, {money(one.money)}  {one.ratio:.1f} {bar(min(one.ratio / 4, 1.0), 12)}"
        rows += [row(f"  {what}"), row(("faint", f"      {figures}"))]
    found = sum(one.cured for one in results)
    rows += [BLANK, *para(f"{found} of {len(results)} found.", width)]
    if len(results) > LATEST:
        first, last = _mean(results[:LATEST]), _mean(results[-LATEST:])
        way = "better" if last < first - 0.05 else "no better yet" if last <= first + 0.05 else "dearer"
        rows += para(
            f"The first {LATEST} cost {first:.1f} times the program's way, the latest {LATEST} {last:.1f}: {way}.",
            width,
        )
    return rows


def _mean(results: Sequence[Result]) -> float:
    return sum(one.ratio for one in results) / len(results)
