"""The JSON Schema (draft-07) of a knowledge file, made from the model that reads it, and the line that points to it.

Editors with a YAML language server complete and check knowledge files with it; such servers read draft-07.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from engine.schema import File

NAME = "schema.json"
MODELINE = "# yaml-language-server: $schema="
DRAFT = "http://json-schema.org/draft-07/schema#"
_LONGEST_FIGURE = 60  # what is longer is meant to be words
_KEYS = {"$defs": "definitions", "prefixItems": "items"}


def file_schema() -> dict[str, Any]:
    """The schema of one knowledge file."""
    made = _convert(File.model_json_schema(mode="validation"))
    for section in made["properties"].values():
        if "description" not in section:  # what an entry is, said where its section is opened
            name = str(section).partition("#/definitions/")[2].partition("'")[0]
            described = made["definitions"].get(name, {}).get("description", "A word and its meaning.")
            section["description"] = described
    return {"$schema": DRAFT, **made}


def modeline(file: Path, schema: Path) -> str:
    """The first line of a knowledge file that points to its schema."""
    return MODELINE + Path(os.path.relpath(schema.resolve(), file.resolve().parent)).as_posix()


def _convert(value: Any) -> Any:
    """Draft 2020-12, as the model writes it, into draft-07, together with the short forms that the loader takes."""
    if isinstance(value, list):
        return [_convert(item) for item in value]
    if isinstance(value, str):
        return value.replace("#/$defs/", "#/definitions/")
    if not isinstance(value, Mapping):
        return value
    kept = {key: inner for key, inner in value.items() if not _idle(key, inner)}
    found = {_KEYS.get(key, key): _convert(inner) for key, inner in kept.items()}
    return _references(_alternatives(_loosen(_tighten(found, pair="prefixItems" in value))))


def _idle(key: str, inner: object) -> bool:
    """Headings made up from the names of keys, and defaults of nothing."""
    return (key == "title" and isinstance(inner, str)) or (key == "default" and inner in (None, []))


def _tighten(found: dict[str, Any], pair: bool) -> dict[str, Any]:
    """What the loader refuses and the model's schema does not say."""
    if pair:
        found["additionalItems"] = False
    if "patternProperties" in found:
        found.setdefault("additionalProperties", False)
    if found.get("type") == "array" and "minLength" in found:
        found["minItems"] = found.pop("minLength")
    return found


def _loosen(found: dict[str, Any]) -> dict[str, Any]:
    """What the loader takes beside the plain form: yes and no, figures as words, and one in place of a list of one."""
    if found.get("type") == "boolean":
        del found["type"]
        found["enum"] = [True, False, "yes", "no"]
    elif found.get("type") == "string" and not {"pattern", "enum", "const"} & found.keys():
        if found.get("maxLength", 0) <= _LONGEST_FIGURE:
            found["type"] = ["string", "number"]  # a reading, as in `12.6` without its unit
    elif found.get("type") == "array" and _may_stand_alone(found["items"]):
        described = {key: found.pop(key) for key in ("description",) if key in found}
        return {**described, "anyOf": [found["items"], found]}
    return found


def _may_stand_alone(items: Any) -> bool:
    if not isinstance(items, dict):
        return False
    choices = [str(one.get("$ref", "")) for one in items.get("anyOf", ())]
    choices.append(str(items.get("$ref", "")))
    return items.get("type") == "string" or any(choice.endswith(("/Selection", "/RepairStep")) for choice in choices)


def _alternatives(found: dict[str, Any]) -> dict[str, Any]:
    """Nothing is no value here: a key is left out instead."""
    choices = [one for one in found.get("anyOf", ()) if one != {"type": "null"}]
    if len(choices) != 1:
        return found
    del found["anyOf"]
    return {**choices[0], **found}


def _references(found: dict[str, Any]) -> dict[str, Any]:
    """Beside a reference draft-07 reads nothing."""
    if "$ref" in found and len(found) > 1:
        return {**{key: inner for key, inner in found.items() if key != "$ref"}, "allOf": [{"$ref": found["$ref"]}]}
    return found
