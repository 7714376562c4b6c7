"""The published tables of the knowledge base (light sources, cables, fuses, aim rules), read into frozen rows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from engine import yamltree
from engine.physics._solve import between
from engine.physics.aim import Step
from engine.physics.filament import Filament
from engine.physics.fuse import Gate, check_gates
from engine.problems import KnowledgeError, Place, Problem, error, nearest

Status: TypeAlias = Literal["read", "derived", "memory", "practice"]
Positive: TypeAlias = Annotated[float, Field(gt=0, allow_inf_nan=False)]
Slope: TypeAlias = Annotated[float, Field(ge=-15, le=15, allow_inf_nan=False)]


class Row(BaseModel):
    """The common manners of all rows: frozen, no unknown keys, a source and how well it is known."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    status: Status = Field(
        description="read: seen in a text; derived: computed; memory: recalled, look it up; practice: of the trade."
    )
    source: str = Field(description="Where the figures come from.", min_length=3)
    note: str = Field("", description="What a user of the row should know, such as sources that disagree.")


class Output(BaseModel):
    """One beam of a light source: what it draws and gives at the test voltage."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    watts: Positive = Field(description="Rated power, W, as marked.")
    most_watts: Positive | None = Field(None, description="Most power allowed at the test voltage, W.")
    flux: Positive | None = Field(None, description="Light at the test voltage, lm.")
    tolerance: Positive | None = Field(None, description="Permitted spread of the light, per cent either way.")
    reference_flux: Positive | None = Field(
        None, description="Light used to test the lamp that holds it, lm, at about 12 V."
    )

    @model_validator(mode="after")
    def _most_is_most(self) -> Self:
        if self.most_watts is not None and self.most_watts < self.watts:
            raise ValueError(f"the most power ({self.most_watts:g} W) is below the rated power ({self.watts:g} W)")
        return self


class LightSource(Row):
    """A category of replaceable light source, as marked on it."""

    kind: Literal["filament", "discharge"] = Field(description="How it makes light.")
    use: Literal["road", "signal"] = Field(
        description="road: makes a headlamp or fog-lamp beam; signal: position, turn and the like."
    )
    rated_volts: Positive = Field(description="Marked voltage of the vehicle's supply, V.")
    test_volts: Positive = Field(
        description="Voltage at which power and light are stated, V (at the ballast for a discharge source)."
    )
    cap: str = Field(description="Cap, by its IEC 60061 designation.", min_length=3)
    outputs: dict[str, Output] = Field(description="Its beams by name: one, or main and dipped.", min_length=1)
    lamp_volts: Positive | None = Field(
        None, description="Discharge: voltage over the arc when settled, V. Never to be measured."
    )
    mercury: bool = Field(False, description="Yes if it holds mercury.")
    starter_in_base: bool = Field(False, description="Discharge: yes if the starter is part of the source.")
    ballast_in_base: bool = Field(False, description="Discharge: yes if the ballast is part of the source.")
    stripes: bool = Field(
        False, description="Discharge: yes for the reflector type with painted stripes that shape the beam."
    )
    also_fits: tuple[str, ...] = Field((), description="Categories that may stand in for it.")
    never: dict[str, str] = Field(
        default_factory=dict, description="Categories that get mistaken for it, and why they may not replace it."
    )

    def output(self, beam: str = "") -> Output:
        """The named beam, or the dipped or only one when none is named. ValueError for a beam it does not have."""
        name = beam or ("dipped" if "dipped" in self.outputs else next(iter(self.outputs)))
        if name not in self.outputs:
            raise ValueError(f"This source has no beam {name!r}, only {', '.join(self.outputs)}")
        return self.outputs[name]

    def filament(self, beam: str = "") -> Filament:
        """The filament of a beam at its rated power and the test voltage. ValueError if it has none."""
        if self.kind != "filament":
            raise ValueError("A discharge source has no filament")
        return Filament(self.output(beam).watts, self.test_volts)


class Cable(Row):
    """A copper cable by section."""

    section: Positive = Field(description="Conductor section, mm2.")
    milliohm: Positive = Field(description="Resistance at 20 C, mohm per metre.")
    means: Literal["most", "ideal"] = Field(description="most: the most permitted; ideal: solid copper.")
    class_5: Positive | None = Field(None, description="The most permitted by IEC 60228 class 5, mohm per metre.")

    @property
    def area(self) -> float:
        """Section in m2."""
        return self.section / 1e6

    @property
    def per_metre(self) -> float:
        """Ohm per metre at 20 C."""
        return self.milliohm / 1e3


class GateRow(BaseModel):
    """At a percentage of the rating: opens no sooner and no later than these."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    percent: Positive = Field(description="Current, per cent of the rating.")
    shortest: Positive = Field(description="Opens no sooner, s.")
    longest: Positive | None = Field(None, description="Opens no later, s; none: need not open.")

    def gate(self) -> Gate:
        """As the physics wants it."""
        return Gate(self.percent / 100, self.shortest, self.longest or math.inf)


class FuseType(Row):
    """A build of blade fuse with its time-current gates."""

    gates: tuple[GateRow, ...] = Field(description="Gates, rising in current.", min_length=2)

    @model_validator(mode="after")
    def _orderly(self) -> Self:
        check_gates(self.times)
        return self

    @property
    def times(self) -> tuple[Gate, ...]:
        """The gates as the physics wants them."""
        return tuple(row.gate() for row in self.gates)


class Fuse(Row):
    """A rating of blade fuse (mini and standard size)."""

    rating: Positive = Field(description="Rated current, A.")
    colour: str = Field(description="Colour of its body.", min_length=3)
    cold_milliohm: Positive | None = Field(
        None, description="Resistance when cold, mohm, typical of the standard size."
    )


class AimStep(BaseModel):
    """What an aim rule asks of lamps up to a height."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    up_to: Positive = Field(description="Highest mounting height this step speaks of, m.")
    initial: tuple[Slope, Slope] = Field(
        description="Lowest and highest setting in the workshop, per cent, negative down."
    )
    limits: tuple[Slope, Slope] = Field(
        description="Lowest and highest that passes in service, per cent, negative down."
    )

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if not self.limits[0] <= self.initial[0] <= self.initial[1] <= self.limits[1]:
            raise ValueError("lowest comes first, and the initial setting lies within the limits")
        return self

    def step(self) -> Step:
        """As the physics wants it, slopes as ratios."""
        (a, b), (c, d) = self.initial, self.limits
        return Step(self.up_to, (a / 100, b / 100), (c / 100, d / 100))


class AimRule(Row):
    """A rule for the vertical aim of a dipped beam."""

    title: str = Field(description="What the rule is and where it holds.", min_length=3)
    datum: Literal["lower edge", "centre"] = Field(description="What on the lamp its height is measured to.")
    steps: tuple[AimStep, ...] = Field(description="By mounting height, rising.", min_length=1)

    @property
    def bands(self) -> tuple[Step, ...]:
        """The steps as the physics wants them."""
        return tuple(step.step() for step in self.steps)


class _File(BaseModel):
    """The sections that a file of tables may hold."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    light_sources: dict[str, LightSource] = Field(default_factory=dict, description="Light sources by category.")
    cables: dict[str, Cable] = Field(default_factory=dict, description="Cables by section.")
    fuse_types: dict[str, FuseType] = Field(default_factory=dict, description="Builds of fuse.")
    fuses: dict[str, Fuse] = Field(default_factory=dict, description="Ratings of fuse.")
    aim_rules: dict[str, AimRule] = Field(default_factory=dict, description="Aim rules by name.")


@dataclass(frozen=True)
class Tables:
    """All tables, each by the ids of its rows."""

    light_sources: MappingProxyType[str, LightSource]
    cables: MappingProxyType[str, Cable]
    fuse_types: MappingProxyType[str, FuseType]
    fuses: MappingProxyType[str, Fuse]
    aim_rules: MappingProxyType[str, AimRule]

    def cable_per_metre(self, area: float) -> float:
        """Most ohm per metre at 20 C for a section in m2: between rows on log-log paper, beyond them in proportion."""
        rows = sorted((row for row in self.cables.values() if row.means == "most"), key=lambda row: row.area)
        inside = min(max(area, rows[0].area), rows[-1].area)
        points = [(math.log(row.area), math.log(row.per_metre)) for row in rows]
        return math.exp(between(points, math.log(inside))) * inside / area

    def light_source(self, name: str) -> LightSource:
        """The row of a category, whatever case it is typed in. ValueError naming near ones."""
        for key, row in self.light_sources.items():
            if key.casefold() == name.strip().casefold():
                return row
        hint = nearest(name.upper(), self.light_sources)
        raise ValueError(f"{name} is not in the table of light sources{hint or '; look at the marking on its cap'}")


NO_TABLES = Tables(*(MappingProxyType({}) for _ in _File.model_fields))


def load_tables(folder: Path, below: Tables = NO_TABLES) -> Tables:
    """The tables in the `.yaml` files of `folder`, their rows laid over those of the same name `below`.

    Raises KnowledgeError with every problem and its place.
    """
    problems: list[Problem] = []
    merged: dict[str, dict[str, Row]] = {name: {} for name in _File.model_fields}
    named: dict[str, Place] = {}
    paths = sorted(folder.glob("*.yaml"))
    if not paths:
        problems.append(error(Place(str(folder), 1, 1), "no-folder", "there are no tables in this folder"))
    for path in paths:
        try:
            tree = yamltree.read_file(path)
            file = _validated(tree)
            merged = _merge(merged, file, tree, problems)
            named.update((name, yamltree.key_place(tree, ("light_sources", name))) for name in file.light_sources)
        except KnowledgeError as exc:
            problems.extend(exc.problems)
    laid = {section: {**getattr(below, section), **rows} for section, rows in merged.items()}
    if not problems:
        problems.extend(_dangling(merged["light_sources"], laid["light_sources"], named))
    if problems:
        raise KnowledgeError(problems)
    return Tables(**{section: MappingProxyType(rows) for section, rows in laid.items()})


def _validated(tree: yamltree.Mapping) -> _File:
    try:
        return _File.model_validate(yamltree.plain(tree))
    except ValidationError as exc:
        found = []
        for item in exc.errors(include_url=False):
            path = item["loc"]
            unknown = item["type"] == "extra_forbidden"
            place = yamltree.key_place(tree, path) if unknown else yamltree.find(tree, path)
            words = "there is no such key" if unknown else item["msg"].removeprefix("Value error, ")
            found.append(error(place, "bad-table", f"{'.'.join(map(str, path))}: {words}"))
        raise KnowledgeError(found) from exc


def _merge(
    merged: dict[str, dict[str, Row]], file: _File, tree: yamltree.Mapping, problems: list[Problem]
) -> dict[str, dict[str, Row]]:
    result = {}
    for section, rows in merged.items():
        new: dict[str, Row] = getattr(file, section)
        for name in sorted(new.keys() & rows.keys()):
            place = yamltree.key_place(tree, (section, name))
            problems.append(error(place, "duplicate-id", f'"{name}" stands in two files'))
        result[section] = rows | new
    return result


def _dangling(sources: dict[str, Row], known: dict[str, Row], places: dict[str, Place]) -> list[Problem]:
    return [
        error(places[name], "unknown-source", f'"{name}" speaks of "{other}", which has no row')
        for name, row in sources.items()
        if isinstance(row, LightSource)
        for other in (*row.also_fits, *row.never)
        if other not in known
    ]
