"""What fields of knowledge files are made of: ids, words, shares, lists; and the manners that all entries share."""

from __future__ import annotations

import re
from typing import Annotated, TypeAlias

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

ID_PATTERN = re.compile(r"[a-z0-9]+([.-][a-z0-9]+)*")

Id: TypeAlias = Annotated[str, StringConstraints(pattern=f"^{ID_PATTERN.pattern}$", max_length=60)]
Words: TypeAlias = Annotated[str, StringConstraints(min_length=2, max_length=1200, strip_whitespace=True)]
Share: TypeAlias = Annotated[float, Field(gt=0, lt=1, allow_inf_nan=False)]
Amount: TypeAlias = Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)]


def as_list(value: object) -> object:
    """One thing stands for a list of one."""
    return [value] if isinstance(value, (str, dict)) else value


Names: TypeAlias = Annotated[tuple[Id, ...], BeforeValidator(as_list)]
Values: TypeAlias = Annotated[tuple[Id, ...], BeforeValidator(as_list), Field(min_length=1)]
Conditions: TypeAlias = dict[Id, Values]
Texts: TypeAlias = Annotated[tuple[Words, ...], BeforeValidator(as_list)]


class Entry(BaseModel):
    """The common manners of all entries: frozen, no unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)
