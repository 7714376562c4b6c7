"""What a typed line means around a repair: begun, done, taken off, proved, why it failed, closed."""

from __future__ import annotations

import re

from engine.answers import Refused, interpret
from engine.events import Acknowledged
from engine.mend_events import (
    Begun,
    CauseLooked,
    Closed,
    Fastened,
    Judged,
    Marked,
    Remeasured,
    RepairLeft,
    StepDone,
)
from engine.mending import Result, Seen
from engine.session import Session
from engine.steps import Beware, Cured, End, HowIsIt, Inspect, Remeasure, SetAim, Step, WhichVehicle, Work
from engine.wording import outcome_words, repairs_name
from shell import vehicle_words
from shell.aim_line import read_aim
from shell.meanings import Do, Look, Meaning
from shell.names import Refusal, listed, pick
from shell.tables_at_hand import tables
from shell.vehicle_words import VehicleStep

COMMANDS: dict[str, tuple[str, str]] = {
    "mend": ("[REPAIR]", "begin a repair: the likeliest first, or the one you name"),
    "buy": ("[REPAIR]", "what to ask for, what it costs, what fits and what must not be fitted"),
    "stamp": ("CATEGORY", "the letters on the base of the light source, as in H7 or D2S"),
    "took": ("[WHAT, WHERE]", "note what came off and where it lies; alone: read it back"),
    "here": ("TEXT", "note how this vehicle is opened up, for the next time"),
    "cause": ("CAUSE SEEN", "a root cause: found, not, mended or later"),
    "close": ("", "the job is done"),
}
RESULTS: dict[str, Result] = {"works": "works", "unchanged": "unchanged", "changed": "changed"}
SEEN: dict[str, Seen] = {"found": "found", "not": "not", "mended": "mended", "later": "later"}
COUNTED = re.compile(r"(\d{1,3})\s*(?:x\s+)?(.+)", re.IGNORECASE)
PROOF = "works (all is well), unchanged (it fails as before) or changed (it fails in another way)"


def command(session: Session, step: Step, word: str, rest: str) -> Meaning:
    """The meaning of a command about a repair."""
    match word:
        case "mend":
            return _mend(session, rest)
        case "buy":
            return _buy(session, rest)
        case "stamp":
            return _stamp(session, rest)
        case "took":
            return _took(rest) if rest else Look("taken")
        case "here":
            return _here(session, step, rest)
        case "cause":
            return _cause(session, rest)
    return _close(session)


def answer(session: Session, step: Step, said: str) -> Meaning:
    """The meaning of an answer to a step of a repair."""
    word = said.casefold()
    if isinstance(step, VehicleStep) and word != "leave":
        return vehicle_words.answer(session, step, said)
    if word == "leave" and not isinstance(step, Inspect | SetAim | Cured | WhichVehicle):
        return Do((RepairLeft(),))
    if word in RESULTS and isinstance(step, Work | Remeasure | HowIsIt | Cured):
        return _judged(session, step, RESULTS[word])
    match step:
        case Beware() | Work():
            return _did(step, word)
        case Remeasure(question=question):
            return _remeasured(session, question, said)
        case Inspect(causes=causes):
            return _inspected(session, causes, said)
        case SetAim():
            return read_aim(session, said)
        case HowIsIt():
            return Refusal(f"How is the lamp now: {PROOF}?")
    return Refusal("The lamp works. Type `close` to close the job, or `changed` or `unchanged` if it came back")


def _did(step: Beware | Work, word: str) -> Meaning:
    if isinstance(step, Beware):
        if word == "understood":
            return Do((Acknowledged(step.cautions),))
        return Refusal("Type `understood` when you have read it, or `leave` to leave this repair undone")
    if word in ("done", "ok", "yes"):
        return Do((StepDone(step.task.stage, step.task.text),))
    return Refusal("Type `done` when it is done; `took 3 screws, left tray` notes what came off")


def later(session: Session, step: Step) -> Meaning:
    """The meaning of `later` at a step of a repair."""
    if isinstance(step, VehicleStep):
        return vehicle_words.answer(session, step, "")
    match step:
        case Remeasure(question=question):
            return Do((Remeasured(question, None, "later"),))
        case Inspect(causes=causes):
            return Do(tuple(CauseLooked(cause, "later") for cause in causes))
        case SetAim():
            return Do((StepDone("aim", "left for later"),))
    return Refusal("Say `park` to go on another day; the job comes back exactly here")


def offers(session: Session, step: Step) -> dict[str, str]:
    """What can be answered at a step of a repair, each with its meaning."""
    if isinstance(step, VehicleStep):
        return vehicle_words.offers(step)
    match step:
        case Beware():
            return {"understood": "you have read it and go on", "leave": "leave this repair undone"}
        case Work(task=task):
            proof = {"unchanged": "it fails as before", "changed": "it fails in another way"}
            return {"done": "it is done", **(proof if task.stage == "prove" else {})}
        case Remeasure(question=question):
            return {name: outcome_words(session, question, name) for name in session.base.questions[question].outcomes}
        case HowIsIt():
            return {"works": "all is well", "unchanged": "it fails as before", "changed": "it fails in another way"}
        case Inspect():
            return {"found": "it is there", "not": "it is not there", "mended": "found and put right", "none": "of all"}
        case SetAim(framed=framed):
            rules = tables(session.base).aim_rules
            return {"done": "the aim is right"} if framed else {n: row.title for n, row in rules.items()}
    return {}


def _judged(session: Session, step: Step, result: Result) -> Meaning:
    hand = session.mending.hand
    if hand is None or (isinstance(step, Cured) and result == "works"):
        return Refusal("It works, as you said. Type `close` to close the job")
    if hand.result is not None and not isinstance(step, Cured):
        return Refusal("Finish here first, or say `park`")
    if isinstance(step, Work) and step.task.stage != "prove":
        return Refusal("Do the steps of the repair first: `done` after each; `leave` leaves it undone")
    if result == "works" and not isinstance(step, HowIsIt):
        return Refusal(
            "Go through the proof first: `done` after each line. It is quickly done, and saves opening twice"
        )
    return Do((Judged(result),))


def _mend(session: Session, rest: str) -> Meaning:
    actions = {" ".join(one.repairs): repairs_name(session.base, one.repairs) for one in session.verdict.actions}
    hand = session.mending.hand
    if hand is not None and hand.result is None:
        return Refusal("A repair is in hand. `leave` leaves it undone")
    if hand is not None:
        return Refusal("The lamp works. Say `changed` or `unchanged` at the end if it came back")
    if session.verdict.kind == "stopped":
        return Refusal("The search was stopped for safety: leave this to a licensed workshop")
    if not actions:
        return Refusal("There is nothing to mend before the kind of lamp is known")
    found = pick(rest, actions, "a repair") if rest else next(iter(actions))
    return found if isinstance(found, Refusal) else Do((Begun(tuple(found.split())),))


def _buy(session: Session, rest: str) -> Meaning:
    if not session.verdict.actions:
        return Refusal("There is nothing to buy before the kind of lamp is known")
    if not rest:
        return Look("buy")
    names = {name: entry.name for name, entry in session.base.repairs.items() if entry.part is not None}
    found = pick(rest, names, "a repair that needs a part")
    return found if isinstance(found, Refusal) else Look("buy", found)


def _stamp(session: Session, rest: str) -> Meaning:
    if not rest:
        return Refusal("Say what is stamped on the base of the light source, as in `stamp H7`")
    known = {name.casefold(): name for name in tables(session.base).light_sources}
    if rest.casefold() in known:
        return Do((Marked(known[rest.casefold()]),))
    near = [name for name in known.values() if name[:1].casefold() == rest[:1].casefold()]
    return Refusal(f'"{rest[:20]}" is not in the table of light sources. It has {listed(near or known.values())}')


def _took(rest: str) -> Meaning:
    things, _, place = rest.partition(",")
    counted = COUNTED.fullmatch(things.strip())
    count, what = (int(counted[1]), counted[2]) if counted else (1, things.strip())
    if count < 1 or not re.search(r"[^\W\d_]", what):
        return Refusal("Say what came off and where it lies, as in `took 3 torx screws, lid of the red box`")
    return Do((Fastened(what.strip(), count, place.strip()),))


def _here(session: Session, step: Step, rest: str) -> Meaning:
    if not isinstance(step, Work) or step.task.stage != "open":
        return Refusal("`here` says how this vehicle is opened up; it goes with a step that opens something")
    if not rest:
        return Refusal("Say how it is done on this vehicle, as in `here two bolts on top, one behind the grille`")
    return vehicle_words.read(session, step.task.of, rest)


def _cause(session: Session, rest: str) -> Meaning:
    names = {name: session.base.causes[name].name for name in session.base.causes}
    first, _, last = rest.rpartition(" ")
    if last.casefold() not in SEEN or not first:
        near = listed(session.open_causes or session.verdict.causes or names)
        return Refusal(f"Say which cause and found, not, mended or later, as in `cause {near.split(',')[0]} mended`")
    found = pick(first, names, "a root cause")
    return found if isinstance(found, Refusal) else Do((CauseLooked(found, SEEN[last.casefold()]),))


def _inspected(session: Session, causes: tuple[str, ...], said: str) -> Meaning:
    word = said.casefold()
    if word in SEEN and (len(causes) == 1 or word in ("not", "later")):
        return Do(tuple(CauseLooked(cause, SEEN[word]) for cause in causes))
    if word in ("none", "no"):
        return Do(tuple(CauseLooked(cause, "not") for cause in causes))
    if len(causes) == 1:
        return Refusal("Type found, not, mended or later")
    numbered = {str(number): cause for number, cause in enumerate(causes, 1)}
    first, _, last = said.rpartition(" ")
    name = numbered.get(first.strip(), first)
    if last.casefold() in SEEN and name:
        return _cause(session, f"{name} {last}")
    return Refusal("Say the number and found, mended or not, as in `2 found`; or `none`, or `later`, for all of them")


def _remeasured(session: Session, question: str, said: str) -> Meaning:
    found = interpret(session, question, said)
    if isinstance(found, Refused):
        return Refusal(found.message)
    one = found.answer
    return Do((Remeasured(question, one.outcome, one.said, one.reading, one.working),), found.ask_back)


def _close(session: Session) -> Meaning:
    hand = session.mending.hand
    if hand is not None and not isinstance(session.step, Cured):
        return Refusal("A repair is in hand: finish it, or `leave` it; `park` keeps all as it is")
    if hand is None and not isinstance(session.step, End):
        return Refusal("The search goes on: `park` keeps all as it is, and `lampwright jobs --close` closes a job")
    open_ = [session.base.causes[name].name for name in session.open_causes] if hand is not None else []
    word = f"Why it failed is still open: {listed(open_)}. The new part may fail too. Say `close` again to close."
    return Do((Closed(),), word if open_ else "")
