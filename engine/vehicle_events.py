"""What is told of a vehicle, as values that can be kept and played again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from engine.base import Base
from engine.session import Session
from engine.vehicle import Reached


@dataclass(frozen=True)
class AccessNoted:
    """How a state of access is reached on this vehicle; all empty: left out.

    Remembered for `vehicle`, if it has a name.
    """

    state: str
    text: str
    minutes: float | None = None
    fasteners: str = ""
    vehicle: str = ""
    kind: Literal["access-noted"] = "access-noted"


@dataclass(frozen=True)
class VehicleNamed:
    """The vehicle is called this; empty: none of those remembered, or no name is wanted."""

    name: str
    kind: Literal["vehicle-named"] = "vehicle-named"


@dataclass(frozen=True)
class VehiclesKnown:
    """What is remembered of vehicles when the job begins."""

    noted: tuple[AccessNoted, ...]
    kind: Literal["vehicles-known"] = "vehicles-known"


VehicleEvent: TypeAlias = AccessNoted | VehicleNamed | VehiclesKnown


def apply(session: Session, event: VehicleEvent) -> Session:
    """The session after an event whose names are known; a vehicle's own minutes count from then on."""
    vehicle = session.mending.vehicle
    match event:
        case AccessNoted(state=state):
            vehicle = vehicle.tell(state, _reached(event))
            own = {state: event.minutes} if event.minutes is not None else {}
        case VehicleNamed(name=name):
            vehicle = vehicle.call(name)
            own = dict(vehicle.minutes)
        case VehiclesKnown():
            vehicle, own = replace(vehicle, garage=_garage(session.base, event)), {}
    prices = replace(session.prices, access={**session.prices.access, **own}) if own else session.prices
    return replace(session, mending=replace(session.mending, vehicle=vehicle), prices=prices)


def _reached(event: AccessNoted) -> Reached:
    return Reached(event.text, event.minutes, event.fasteners)


def _garage(base: Base, event: VehiclesKnown) -> dict[str, dict[str, Reached]]:
    """Remembered states by vehicle; those that the base no longer has are passed over."""
    found: dict[str, dict[str, Reached]] = {}
    for one in event.noted:
        if one.state in base.access and one.vehicle:
            found.setdefault(one.vehicle, {})[one.state] = _reached(one)
    return found
