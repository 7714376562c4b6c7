"""The script of the demo as typed values: what is said at which step of an invented job."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from engine import yamltree
from engine.problems import KnowledgeError, error

Lines = tuple[str, ...]


class Sitting(BaseModel):
    """One sitting: when it begins, and the lines said at its steps."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    begins: datetime = Field(description="When, by the workshop's clock.")
    says: str = Field(description="What has happened, told before it.")
    first: Lines = Field((), description="Lines said before anything else.")
    answers: dict[str, str] = Field(default_factory=dict, description="The answer to each question.")
    at: dict[str, Lines] = Field(default_factory=dict, description="Lines said at the first task of a state or repair.")
    opened: dict[str, str] = Field(default_factory=dict, description="How states of access were reached.")
    vehicle: str = Field("", description="What the vehicle is called, where that is asked.")
    again: dict[str, str] = Field(default_factory=dict, description="The answers given behind the repair.")
    result: str = Field("works", description="How the lamp is after the repair.")
    causes: dict[str, str] = Field(default_factory=dict, description="What became of root causes.")
    aim: Lines = Field((), description="Lines said at the wall.")


class Script(BaseModel):
    """A whole job. `label` says that all of it is invented, and goes with every output."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    label: str
    title: str
    says: str
    sittings: tuple[Sitting, ...] = Field(min_length=1)


def read_script(path: Path) -> Script:
    """The script of a file. Raises KnowledgeError with everything that is wrong with it."""
    tree = yamltree.read_file(path, path.name)
    try:
        return Script.model_validate(yamltree.plain(tree))
    except ValidationError as wrong:
        found = []
        for item in wrong.errors(include_url=False):
            where = yamltree.key_place if item["type"] == "extra_forbidden" else yamltree.find
            words = f"{'.'.join(map(str, item['loc']))}: {item['msg']}"
            found.append(error(where(tree, item["loc"]), "bad-script", words))
        raise KnowledgeError(found) from wrong
