"""The questions about the vehicle on the screen: which one, how it is opened up, and what it is to be called."""

from __future__ import annotations

from engine import vehicle
from engine.base import Base
from engine.session import Session
from engine.steps import HowOpened, WhichVehicle
from engine.vehicle_events import AccessNoted, VehicleNamed
from shell.layout import BLANK, Rows, heading, para
from shell.vehicle_words import EXAMPLE, VehicleStep
from shell.words import minutes


def vehicle_rows(step: VehicleStep, session: Session, width: int) -> Rows:
    """The whole of a step."""
    match step:
        case WhichVehicle(names=names):
            rows = [BLANK, *heading("Which vehicle?", width)]
            for number, name in enumerate((*names, "another"), 1):
                rows += para("", width, "", f"{number:>2} {name}", "strong", 1)
            return [*rows, *para("How these are opened up is remembered. Enter: another", width, "faint", indent=2)]
        case HowOpened(state=state):
            rows = [BLANK, *heading(f"On this vehicle: {session.base.access[state].name}", width)]
            rows += para(_how(session.base, state), width, "strong")
            rows += para(f"Your words, minutes, and what was undone, as in: {EXAMPLE}", width)
            return [*rows, *para("Asked once, used from then on. Enter: leave it out", width, "faint", indent=2)]
    rows = [BLANK, *heading("Remember it for the next job?", width)]
    rows += para("What shall this vehicle be called? A word will do, as in: van-12. Nothing personal.", width, "strong")
    return [*rows, *para("Enter: do not remember it", width, "faint", indent=2)]


def vehicle_reminder(step: VehicleStep, session: Session, width: int) -> Rows:
    """The short form of a step."""
    match step:
        case WhichVehicle(names=names):
            text = f"Which vehicle? {', '.join(names)}, another"
        case HowOpened(state=state):
            text = f"{_how(session.base, state)} Enter: leave it out"
        case _:
            text = "What shall this vehicle be called? Enter: do not remember it"
    return [BLANK, *para(text, width, "strong")]


def _how(base: Base, state: str) -> str:
    return f"How did you get there on this vehicle: {base.access[state].name}?"


def noted_vehicle(session: Session, event: AccessNoted | VehicleNamed, width: int) -> Rows:
    """What is said back."""
    if isinstance(event, VehicleNamed):
        text = f"This is {event.name}." if event.name else "Good: no name."
        known = session.mending.vehicle.garage.get(event.name, {})
        names = ", ".join(session.base.access[state].name for state in known)
        return para(f"{text} Known of it: {names}." if names else text, width)
    if not (event.text or event.fasteners or event.minutes is not None):
        return para("Left out.", width)
    took = f" ({minutes(event.minutes)})" if event.minutes is not None else ""
    kept = f", kept for {event.vehicle}" if event.vehicle else ""
    words = vehicle.words(session.base, session.mending.vehicle, event.state)
    return para(f"Noted{kept}: {session.base.access[event.state].name}: {words}{took}", width)
