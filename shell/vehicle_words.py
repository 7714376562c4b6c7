"""What a typed line means about the vehicle: which one it is, how it is opened up, and the name it is kept under."""

from __future__ import annotations

import re

from engine.events import Event, Priced
from engine.session import Session
from engine.steps import HowOpened, NameVehicle, WhichVehicle
from engine.vehicle import Reached
from engine.vehicle_events import AccessNoted, VehicleNamed
from shell.meanings import Do, Meaning
from shell.names import Refusal, pick

VehicleStep = WhichVehicle | HowOpened | NameVehicle
ANOTHER = "another"
SKIPS = frozenset(("", "done", "skip", "no", "none", "later", "unsure", ANOTHER))
EXAMPLE = "two bolts on top, slide it forward, 25 min, 6 torx screws"
TIME = re.compile(r"(?:(?:takes|about|some)\s+)*(\d{1,3}(?:\.\d)?)\s*(min(?:ute)?s?|h(?:ou)?rs?|h)\b\.?", re.IGNORECASE)
COUNTED = re.compile(r"\d{1,3}\s*(?:x\s+)?[^\W\d_].*", re.IGNORECASE)
NAME = re.compile(r"(?=.*[^\W_])[\w.-]{1,24}")
LONGEST = 400  # characters of one description


def answer(session: Session, step: VehicleStep, said: str) -> Meaning:
    """The meaning of a line typed where something is asked about the vehicle."""
    match step:
        case WhichVehicle(names=names):
            return _which(names, said)
        case HowOpened(state=state):
            if said.casefold() in SKIPS:
                return Do((AccessNoted(state, ""),))
            return read(session, state, said)
    return _named(session, said)


def offers(step: VehicleStep) -> dict[str, str]:
    """What can be answered, each with its meaning."""
    match step:
        case WhichVehicle(names=names):
            return {**dict.fromkeys(names, "it is remembered how this one opens"), ANOTHER: "none of these"}
        case HowOpened():
            return {"skip": "leave it out"}
    return {"skip": "it is not remembered for another job"}


def read(session: Session, state: str, said: str) -> Do | Refusal:
    """How a state is reached, from words with minutes and fasteners among them."""
    text, minutes, fasteners = parts(said)
    words = re.findall(r"[^\W\d_]+", text)
    if len(said) > LONGEST or (minutes is None and not fasteners and len(words) < 2):
        return Refusal(f"Say in a few words how it goes on this vehicle, as in `{EXAMPLE}`. Enter leaves it out")
    return Do((AccessNoted(state, text, minutes, fasteners, session.mending.vehicle.name),))


def parts(said: str) -> tuple[str, float | None, str]:
    """Words, minutes and fasteners of a description whose pieces stand between commas or semicolons."""
    minutes: float | None = None
    texts: list[str] = []
    fasteners: list[str] = []
    for piece in filter(None, (one.strip() for one in re.split(r"[,;]\s*", said))):
        found = TIME.search(piece)
        if found and minutes is None:
            minutes = float(found[1]) * (60 if found[2].casefold().startswith("h") else 1)
        if found and found[0] == piece:
            continue
        (fasteners if COUNTED.fullmatch(piece) and not found else texts).append(piece)
    return ", ".join(texts), minutes, ", ".join(fasteners)


def of_vehicle(session: Session, event: Priced) -> Event:
    """The user's own minutes as those of the vehicle, where it has a name: they hold for it and for no other."""
    vehicle = session.mending.vehicle
    if event.what != "access" or not vehicle.name:
        return event
    one = vehicle.reached.get(event.name, Reached())
    return AccessNoted(event.name, one.text, event.value, one.fasteners, vehicle.name)


def _which(names: tuple[str, ...], said: str) -> Meaning:
    if said.casefold() in SKIPS:
        return Do((VehicleNamed(""),))
    if said.isdecimal() and 1 <= int(said) <= len(names) + 1:
        return Do((VehicleNamed((*names, "")[int(said) - 1]),))
    found = pick(said, {name.casefold(): name for name in names}, "a vehicle that is remembered")
    if isinstance(found, Refusal):
        return Refusal(f"{found.message}. Or `{ANOTHER}`, or Enter")
    return Do((VehicleNamed(next(name for name in names if name.casefold() == found)),))


def _named(session: Session, said: str) -> Meaning:
    if said.casefold() in SKIPS:
        return Do((VehicleNamed(""),))
    if not NAME.fullmatch(said):
        return Refusal("One word of letters and figures will do, as in `van-12`; nothing personal. Enter leaves it out")
    vehicle = session.mending.vehicle
    same = {name.casefold(): name for name in vehicle.garage}
    name = same.get(said.casefold(), said)
    told = (AccessNoted(state, one.text, one.minutes, one.fasteners, name) for state, one in vehicle.told.items())
    return Do((VehicleNamed(name), *told))
