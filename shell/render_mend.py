"""The steps around a repair on the screen: dangers, tasks, proof, root causes, and the end of the job."""

from __future__ import annotations

from collections.abc import Iterable

from engine import mending
from engine.document import next_of
from engine.session import Session
from engine.spending import spend
from engine.steps import Beware, Cured, HowIsIt, Inspect, Remeasure, SetAim, Stage, Work
from engine.wording import fill, repairs_name, title
from shell.layout import BLANK, Rows, bullets, heading, labelled, numbered, para, run_in
from shell.render_aim import aim_rows
from shell.render_verdict import other_complaint
from shell.saving import order_words, spent_words
from shell.words import capital, few, minutes, money, sentence

HEADS: dict[Stage, str] = {
    "open": "Open up",
    "do": "Mend",
    "prove": "Prove it, before it is bolted back",
    "refit": "Put it back",
}
MendStep = Beware | Work | Remeasure | HowIsIt | Inspect | SetAim | Cured


def mend_rows(step: MendStep, session: Session, width: int) -> Rows:
    """The whole of a step, for when it comes up."""
    match step:
        case Beware():
            return _beware(step, session, width)
        case Work():
            return _work(step, session, width)
        case Remeasure(question=question):
            return _remeasure(question, session, width)
        case HowIsIt():
            return _how_is_it(session, width)
        case Inspect(causes=causes):
            return _inspect(causes, session, width)
        case SetAim():
            return aim_rows(session, width)
    return _cured(step, session, width)


def mend_reminder(step: MendStep, session: Session, width: int) -> Rows:
    """The short form of a step."""
    text = {Beware: "Have you read the dangers? understood, or leave", HowIsIt: HOW}.get(type(step), "")
    match step:
        case Work(task=task):
            text = f"{capital(fill(session, task.text))} done?"
        case Remeasure(question=question):
            text = fill(session, session.base.questions[question].ask)
        case Inspect(causes=causes):
            text = f"{few((session.base.causes[name].name for name in causes), 6)}: found, not, mended or later?"
        case SetAim(framed=framed):
            text = (
                "How high is the cut-off on the wall?" if framed else "Rule, height of the lamp, distance to the wall?"
            )
        case Cured():
            text = "The lamp works. `close` closes the job"
    return [BLANK, *para(text, width, "strong")]


HOW = "How is the lamp now: works, unchanged or changed?"


def _beware(step: Beware, session: Session, width: int) -> Rows:
    base = session.base
    head = "this step" if step.task else f"you {_name(session, step.repairs)}"
    rows = [BLANK, *heading(f"Before {head}", width)]
    rows += para(f"It is: {fill(session, step.task.text)}", width) if step.task else []
    for name in step.cautions:
        caution = base.cautions[name]
        rows += [BLANK, *run_in("! ", caution.name, fill(session, caution.say), width, 0, "warn")]
    text = "Local rules and the maker's instructions come first. If in doubt, leave it to a licensed workshop."
    rows += [BLANK, *para(text, width), BLANK]
    rows += para("you have read it and go on", width, "", "understood  ", "strong", 2)
    return [*rows, *para("leave this repair undone", width, "", f"{'leave':<10}  ", "strong", 2)]


def _name(session: Session, repairs: tuple[str, ...]) -> str:
    return repairs_name(session.base, repairs)


def _work(step: Work, session: Session, width: int) -> Rows:
    task, hand = step.task, session.mending.hand
    aside = f"{step.number} of {step.total}" if task.stage != "refit" else f"{step.total} to go"
    rows = [BLANK, *heading(HEADS[task.stage], width, aside)]
    if task.stage in ("open", "do") and step.number == 1 and hand is not None:
        rows += _ahead(session, hand, width)
    if task.stage == "refit" and step.total == len(session.mending.taken) and session.mending.log:
        rows += para("The last that came off goes back first.", width, "faint")
    rows += _mind(session, task.cautions, width)
    rows += labelled(
        "Need", [", ".join(session.base.tools[tool].name for tool in task.tools)] if task.tools else [], width
    )
    rows += para(fill(session, capital(task.text)), width, "strong")
    rows += labelled("Takes", [minutes(task.minutes)] if task.minutes else [], width)
    tail = {
        "open": "Or: took WHAT, WHERE (notes what came off); here HOW (notes how this vehicle opens); leave, park",
        "do": "Or: took WHAT, WHERE (notes what came off); leave, park",
        "prove": "If it fails: unchanged (as before) or changed (in another way). Or: leave, park",
        "refit": "Or: park",
    }[task.stage if task.stage != "aim" else "refit"]
    return [*rows, *para("when it is so", width, "", "done  ", "strong", 2), *para(tail, width, "faint", indent=2)]


def _ahead(session: Session, hand: mending.Hand, width: int) -> Rows:
    """What the whole repair takes, said once at its beginning."""
    base = session.base
    total = sum(base.repairs[name].minutes for name in hand.repairs) + sum(task.minutes for task in hand.work)
    tools = dict.fromkeys(base.tools[tool].name for name in hand.repairs for tool in base.repairs[name].tools)
    rows = para(f"{capital(_name(session, hand.repairs))}: {len(hand.work)} steps, about {minutes(total)}.", width)
    rows += labelled("Need", [", ".join(tools)] if tools else [], width)
    return [*rows, *_mind(session, mending.before_all(base, hand), width), BLANK]


def _mind(session: Session, cautions: Iterable[str], width: int) -> Rows:
    """Cautions in full; those that have been acknowledged by their names."""
    known = {name: session.base.cautions[name] for name in cautions}
    fresh = [fill(session, f"{one.name}: {one.say}") for name, one in known.items() if name not in session.acknowledged]
    read = [one.name for name, one in known.items() if name in session.acknowledged]
    rows = labelled("Mind", fresh, width, "warn")
    return [*rows, *labelled("Mind", [f"{', '.join(read)}: as read."] if read else [], width, "warn")]


def _remeasure(question: str, session: Session, width: int) -> Rows:
    one = next_of(session, question)
    rows = [BLANK, *heading(f"Measure again: {title(session, question)}", width)]
    rows += para(f"It spoke for the fault. {one.ask}", width)
    rows += labelled("Do", one.do, width)
    size = max(len(choice.outcome) for choice in one.outcomes)
    for number, choice in enumerate(one.outcomes, 1):
        lead = f"{'' if one.unit else number:>2} {choice.outcome:<{size}}  "
        rows += para(choice.say, width, "", lead, "strong", 1)
    unit = f"The figure in {one.unit}, or a word above. " if one.unit else ""
    return [*rows, *para(f"{unit}Or: unsure, later (leave it out)", width, "faint", indent=2)]


def _how_is_it(session: Session, width: int) -> Rows:
    rows = [BLANK, *heading("How is the lamp now?", width)]
    for word, text in (
        ("works", "all is well, and the proof held"),
        ("unchanged", "it fails as before"),
        ("changed", "it fails in another way"),
    ):
        rows += para(text, width, "", f"{word:<10}  ", "strong", 2)
    return rows


def _inspect(causes: tuple[str, ...], session: Session, width: int) -> Rows:
    base = session.base
    rows = [BLANK, *heading("Why did it fail?", width)]
    if len(causes) == 1 and session.mending.seen.get(causes[0]) == "found":
        entry = base.causes[causes[0]]
        rows += para(f"{capital(entry.name)} was found. {sentence(entry.mend)}", width)
        rows += para("when it is put right, so that the new part lives", width, "", "mended  ", "strong", 2)
        return [*rows, *para("not now; the job will remind you", width, "", f"{'later':<6}  ", "strong", 2)]
    rows += para("Look for this while it is still open, or the new part may fail too.", width)
    rows += numbered(
        [f"{capital(base.causes[name].name)}. {sentence(base.causes[name].look)}" for name in causes], width
    )
    if len(causes) == 1:
        return [*rows, *para("found, not, mended, or later", width, "strong", indent=2)]
    return [*rows, *para("2 found (or mended, or not); none, or later, for all of them", width, "strong", indent=2)]


def taken_rows(session: Session, width: int) -> Rows:
    """What is off or open, in the order in which it goes back."""
    tasks = mending.refitting(session.mending, session.base)
    if not tasks:
        return para("Nothing is noted as taken off.", width)
    rows = [BLANK, *heading("What came off, last first", width)]
    return [*rows, *numbered([task.text for task in tasks], width)]


def causes_rows(session: Session, width: int) -> Rows:
    """The root causes still open, with what to mend; nothing when there are none."""
    base = session.base
    texts = [
        f"{capital(base.causes[name].name)}: {'found, not yet mended' if seen == 'found' else 'not looked at'}. "
        f"{sentence(base.causes[name].mend)}"
        for name in session.open_causes
        for seen in [session.mending.seen.get(name)]
    ]
    if not texts:
        return []
    rows = [BLANK, *para("Still open: why it failed. The new part may fail too.", width, "warn")]
    return [*rows, *bullets(texts, width)]


def _cured(step: Cured, session: Session, width: int) -> Rows:
    state = session.mending
    hand = state.hand
    head = "The job is closed" if step.closed else "The lamp works"
    done = [*(one.repairs for one in state.tried), *([hand.repairs] if hand else [])]
    rows = [BLANK, *heading(head, width)]
    rows += bullets((f"done: {_name(session, repairs)}" for repairs in done), width)
    mended = [session.base.causes[name].name for name, seen in state.seen.items() if seen == "mended"]
    rows += bullets((f"mended, so that it does not come back: {name}" for name in mended), width)
    if mending.touched(state, session.base) and not state.readings:
        rows += para(
            "The aim was not read. It moved with this repair: have it set before driving at night.", width, "warn"
        )
    rows += causes_rows(session, width)
    if step.closed:
        return rows
    rows += saved_rows(session, width)
    rows += other_complaint(session, width)
    tail = "`close` closes the job. If it comes back: `unchanged` or `changed`; the search goes on from there."
    return [*rows, BLANK, *para(tail, width, "faint")]


def saved_rows(session: Session, width: int) -> Rows:
    """What the tests saved, worked out for the repairs that were needed."""
    found = spend(session)
    if found.in_order is None:
        return []
    usual = f"On average it is {money(found.blind)} for such a complaint."
    text = f"{spent_words(found)} {order_words(found)} {usual}"
    return [BLANK, *para(text, width), *para(session.base.roles.invented, width, "faint")]
