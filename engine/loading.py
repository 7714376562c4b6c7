"""Reads the folders of a knowledge base, strictly: everything that is wrong is reported, with its place, in one run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from engine import references, schema, yamltree
from engine.base import Base
from engine.problems import KnowledgeError, Place, Problem, error, nearest
from engine.tables import NO_TABLES, load_tables
from engine.yamltree import Mapping, Tree

TABLES = "tables"
APART = frozenset({TABLES, "demo"})  # folders with files of another kind
MODELS: dict[str, Any] = {name: get_args(schema.File.model_fields[name].annotation)[1] for name in schema.SECTIONS}

_MEANINGS = {
    "literal_error": "allowed here: {expected}",
    "float_parsing": "a number belongs here",
    "int_parsing": "a whole number belongs here",
    "float_type": "a number belongs here",
    "bool_parsing": "yes or no belongs here",
    "string_type": "words belong here, not a list or a mapping",
    "string_too_short": "this is empty or too short",
    "string_too_long": "this is longer than {max_length} characters; say it shorter",
    "string_pattern_mismatch": "an id has small letters, digits, hyphens and dots only, as in `broken-filament`",
    "model_type": "a mapping belongs here: `key: value` lines, indented",
    "bool_type": "yes or no belongs here",
    "dict_type": "a mapping belongs here: `key: value` lines, indented",
    "tuple_type": "a list belongs here",
    "greater_than": "this must be more than {gt}",
    "greater_than_equal": "this must be at least {ge}",
    "less_than": "this must be less than {lt}",
    "less_than_equal": "this must be at most {le}",
    "too_short": "at least {min_length} belong here",
    "too_long": "at most {max_length} belong here",
    "finite_number": "an ordinary number belongs here",
}


class Reader:
    """Collects entries and problems from the files of one knowledge base."""

    def __init__(self) -> None:
        self.entries: dict[str, dict[str, Any]] = {section: {} for section in schema.SECTIONS}
        self.trees: dict[tuple[str, str], Tree] = {}
        self.places: dict[tuple[str, str], Place] = {}
        self.roles: tuple[schema.Roles, Tree] | None = None
        self.problems: list[Problem] = []
        self.layer: dict[tuple[str, str], int] = {}
        self.tables = NO_TABLES

    def read_folder(self, folder: Path, layer: int) -> None:
        """All `.yaml` files below a folder, in order of their names."""
        if not folder.is_dir():
            self.problems.append(
                error(Place(str(folder), 1, 1), "no-folder", "there is no such folder of knowledge files")
            )
            return
        self.read_tables(folder / TABLES)
        for path in files(folder):
            if path.is_symlink() or not path.resolve().is_relative_to(folder.resolve()):
                self.problems.append(
                    error(Place(str(path), 1, 1), "outside", "this leads outside the folder; copy the file in")
                )
                continue
            try:
                self.add(yamltree.read_file(path), layer)
            except KnowledgeError as exc:
                self.problems.extend(exc.problems)

    def read_tables(self, folder: Path) -> None:
        """The published tables, if the folder has its own; its rows are laid over those read before."""
        if folder.is_dir():
            try:
                self.tables = load_tables(folder, self.tables)
            except KnowledgeError as exc:
                self.problems.extend(exc.problems)

    def add(self, tree: Mapping, layer: int = 0) -> None:
        """The sections of one file."""
        for section, body in tree.items.items():
            if section == "roles":
                self._roles(body)
            elif section not in MODELS:
                message = f'there is no section "{section}"{nearest(section, [*MODELS, "roles"])}'
                self.problems.append(error(tree.keys[section], "unknown-section", message))
            elif not isinstance(body, Mapping):
                message = f"`{section}:` holds entries by their ids, indented below it"
                self.problems.append(error(body.place, "not-a-mapping", message))
            else:
                for name, entry in body.items.items():
                    self._entry(section, name, entry, body.keys[name], layer)

    def _roles(self, body: Tree) -> None:
        model = self._validate(schema.Roles, body, body.place, "roles")
        if model is not None:
            self.roles = (model, body)

    def _entry(self, section: str, name: str, tree: Tree, place: Place, layer: int) -> None:
        key = (section, name)
        if key in self.places and self.layer[key] == layer:
            message = f'{section} "{name}" is already declared at {self.places[key]}; ids are used once'
            self.problems.append(error(place, "duplicate-id", message))
            return
        self.trees[key], self.places[key], self.layer[key] = tree, place, layer
        holder = Mapping({name: tree}, {name: place}, place)
        if section == "terms":
            model = self._validate(schema.File, Mapping({section: holder}, {section: place}, place), place, name)
            value = model.terms.get(name) if model else None
        else:
            self._check_id(name, place)
            value = self._validate(MODELS[section], tree, place, f'{section} "{name}"')
        if value is not None:
            self.entries[section][name] = value

    def _check_id(self, name: str, place: Place) -> None:
        if not schema.ID_PATTERN.fullmatch(name):
            self.problems.append(error(place, "bad-id", f'"{name}": {_MEANINGS["string_pattern_mismatch"]}'))

    def _validate(self, model: type[Any], tree: Tree, place: Place, what: str) -> Any:
        try:
            return model.model_validate(yamltree.plain(tree))
        except ValidationError as exc:
            self.problems.extend(_translate(model, tree, place, what, exc.errors(include_url=False)))
            return None


def load(folders: Sequence[Path]) -> Base:
    """The knowledge base in these folders; a later folder's entry replaces an earlier folder's of the same id.

    Raises KnowledgeError with every problem found.
    """
    reader = Reader()
    for layer, folder in enumerate(folders):
        reader.read_folder(folder, layer)
    return finish(reader)


def finish(reader: Reader) -> Base:
    """The base a reader has collected, once every reference resolves. Raises KnowledgeError."""
    problems = list(reader.problems)
    if reader.roles is None:
        if not problems:
            problems.append(
                error(
                    Place("kb", 1, 1), "no-roles", "no file has the section `roles`; take the one of the shipped base"
                )
            )
        raise KnowledgeError(problems)
    roles, tree = reader.roles
    entries = {**reader.entries, "technologies": _with_frequencies(reader)}
    base = Base(roles=roles, places=reader.places, tables=reader.tables, **entries)
    problems.extend(references.check(base, reader.trees, tree))
    if problems:
        raise KnowledgeError(problems)
    return base


def _with_frequencies(reader: Reader) -> dict[str, schema.Technology]:
    """The technologies, with the frequencies that faults bring along."""
    found = {}
    for name, technology in reader.entries["technologies"].items():
        brought = {
            fault: entry.frequencies[name]
            for fault, entry in reader.entries["faults"].items()
            if name in entry.frequencies
        }
        merged = {**technology.frequencies, **brought}
        found[name] = technology.model_copy(update={"frequencies": merged}) if brought else technology
    return found


def files(folder: Path) -> Iterator[Path]:
    """The knowledge files of a folder, in the order in which they are read; those apart are files of another kind."""
    return (path for path in sorted(folder.rglob("*.yaml")) if path.relative_to(folder).parts[0] not in APART)


def _translate(
    model: type[BaseModel], tree: Tree, place: Place, what: str, errors: Iterable[ErrorDetails]
) -> Iterable[Problem]:
    for item in errors:
        path = _real_path(tree, item["loc"])
        if path is None:
            continue
        kind, context = item["type"], item.get("ctx", {})
        locate = yamltree.key_place if item["loc"][-1:] == ("[key]",) else yamltree.find
        at = locate(tree, path) if path else place
        if kind == "missing":
            parent = yamltree.find(tree, path[:-1]) if path[:-1] else place
            yield error(parent, "missing-key", f"{what} lacks `{path[-1]}:` ({_described(model, path)})")
        elif kind == "extra_forbidden":
            fields = _fields(model, path)
            yield error(
                yamltree.key_place(tree, path),
                "unknown-key",
                f'{what} has no key "{path[-1]}"{nearest(str(path[-1]), fields)}',
            )
        else:
            meaning = _MEANINGS.get(kind, item["msg"]).format(**context)
            given = item["input"] if isinstance(item["input"], str) else ""
            word = nearest(given, _expected(context)) if kind == "literal_error" else ""
            shown = f'"{given}": ' if given and len(given) < 60 else ""
            yield error(at, kind.replace("_", "-"), f"{what}, {_dotted(path)}: {shown}{meaning}{word}")


def _expected(context: dict[str, Any]) -> list[str]:
    return [word.strip("' ") for word in str(context.get("expected", "")).replace(" or ", ",").split(",")]


def _dotted(path: tuple[int | str, ...]) -> str:
    return ".".join(str(step + 1) if isinstance(step, int) else step for step in path) or "the entry"


def _real_path(tree: Tree, loc: tuple[int | str, ...]) -> tuple[int | str, ...] | None:
    """The part of a validator's path that exists in the file; None when it speaks of a variant that was not meant."""
    path: list[int | str] = []
    at: Tree = tree
    for index, step in enumerate(loc):
        last = index == len(loc) - 1
        if isinstance(at, Mapping) and str(step) in at.items:
            at = at.items[str(step)]
            path.append(step)
        elif isinstance(at, yamltree.Sequence) and isinstance(step, int) and step < len(at.items):
            at = at.items[step]
            path.append(step)
        elif step in ("Selection", "Branch"):
            if not isinstance(at, Mapping):
                return None
        elif isinstance(step, str) and step.startswith("constrained-str"):
            if isinstance(at, Mapping):
                return None
        elif last and isinstance(at, Mapping) and step != "[key]":
            path.append(step)
    return tuple(path)


def _model_at(model: type[BaseModel], path: tuple[int | str, ...]) -> type[BaseModel] | None:
    at: Any = model
    for step in path:
        if isinstance(at, type) and issubclass(at, BaseModel) and str(step) in at.model_fields:
            at = at.model_fields[str(step)].annotation
        found = [arg for arg in _inside(at) if isinstance(arg, type) and issubclass(arg, BaseModel)]
        if isinstance(step, int) or not (isinstance(at, type) and issubclass(at, BaseModel)):
            at = found[0] if found else at
    return at if isinstance(at, type) and issubclass(at, BaseModel) else None


def _inside(annotation: Any) -> Iterable[Any]:
    yield annotation
    for arg in get_args(annotation):
        yield from _inside(arg)


def _fields(model: type[BaseModel], path: tuple[int | str, ...]) -> list[str]:
    at = _model_at(model, path[:-1])
    return list(at.model_fields) if at else []


def _described(model: type[BaseModel], path: tuple[int | str, ...]) -> str:
    at = _model_at(model, path[:-1])
    field = at.model_fields.get(str(path[-1])) if at else None
    return (field.description or "needed") if field else "needed"
