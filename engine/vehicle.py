"""How a vehicle is opened up: what was told of it once, and the vehicles of which that is remembered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from engine.base import Base
from engine.costs import Opened, way
from engine.steps import HowOpened, NameVehicle, WhichVehicle


@dataclass(frozen=True)
class Reached:
    """How a state of access is reached on a vehicle: in words, in minutes, and what has to be undone for it.

    All of it empty: asked for, and left out.
    """

    text: str = ""
    minutes: float | None = None
    fasteners: str = ""

    def __bool__(self) -> bool:
        return bool(self.text or self.fasteners or self.minutes is not None)


@dataclass(frozen=True)
class Vehicle:
    """The vehicle of a job. `reached` are the states told of; `garage` those of remembered vehicles, by their names.

    `name` is empty while it has none; `chosen` says that it was asked which of the remembered ones it is, `nameless`
    that no name is wanted.
    """

    name: str = ""
    reached: Mapping[str, Reached] = field(default_factory=dict)
    garage: Mapping[str, Mapping[str, Reached]] = field(default_factory=dict)
    chosen: bool = False
    nameless: bool = False

    @property
    def told(self) -> Mapping[str, Reached]:
        """What was truly said, without what was left out."""
        return {state: one for state, one in self.reached.items() if one}

    @property
    def minutes(self) -> Mapping[str, float]:
        """The vehicle's own minutes, where they were said."""
        return {state: one.minutes for state, one in self.reached.items() if one.minutes is not None}

    def tell(self, state: str, one: Reached) -> Vehicle:
        """The vehicle of which this is known as well."""
        return replace(self, reached={**self.reached, state: one})

    def call(self, name: str) -> Vehicle:
        """The vehicle of this name, or of none; what is remembered of the name holds where nothing was told here."""
        if not name:
            asked_which = bool(self.garage) and not self.chosen
            return replace(self, chosen=True, nameless=not asked_which)
        known = {**self.garage.get(name, {}), **self.told}
        return replace(self, name=name, reached={**self.reached, **known}, chosen=True)


def words(base: Base, vehicle: Vehicle, state: str) -> str:
    """How a state is reached: as told of this vehicle, or as the base has it."""
    one, entry = vehicle.reached.get(state, Reached()), base.access[state]
    undone = f" What comes off: {one.fasteners}." if one.fasteners else ""
    text = one.text or entry.says or entry.name
    return f"{text.rstrip('.')}.{undone}" if undone else text


def which(vehicle: Vehicle) -> WhichVehicle | None:
    """The question which vehicle it is, once there are any to choose from."""
    open_ = vehicle.garage and not vehicle.chosen and not vehicle.name
    return WhichVehicle(tuple(vehicle.garage)) if open_ else None


def to_tell(
    base: Base, vehicle: Vehicle, needed: Iterable[str | None], opened: Opened
) -> HowOpened | NameVehicle | None:
    """What is worth asking of this vehicle once: how the states that a repair needs were reached, then its name."""
    for state in dict.fromkeys(one for need in needed for one in way(base, need)):
        if base.access[state].varies and state in opened and state not in vehicle.reached:
            return HowOpened(state)
    if vehicle.told and not vehicle.name and not vehicle.nameless:
        return NameVehicle()
    return None
