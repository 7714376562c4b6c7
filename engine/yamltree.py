"""YAML read with positions and without opinions.

Every scalar stays text, so that `off`, `no`, `012` and `12:30` mean themselves.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias

import yaml

from engine.problems import KnowledgeError, Place, Problem, error

MAX_BYTES = 2_000_000
MAX_DEPTH = 24
NOWHERE = Place("", 1, 1)

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Scalar:
    """A scalar as it was written, quotes removed."""

    text: str
    place: Place


@dataclass(frozen=True)
class Sequence:
    """A list."""

    items: list[Tree] = field(default_factory=list)
    place: Place = NOWHERE


@dataclass(frozen=True)
class Mapping:
    """A mapping; keys are scalars and unique."""

    items: dict[str, Tree] = field(default_factory=dict)
    keys: dict[str, Place] = field(default_factory=dict)
    place: Place = NOWHERE


Tree: TypeAlias = Scalar | Sequence | Mapping


def plain(tree: Tree) -> object:
    """The tree as dicts, lists and strings, for a schema to read."""
    if isinstance(tree, Scalar):
        return tree.text
    if isinstance(tree, Sequence):
        return [plain(item) for item in tree.items]
    return {key: plain(value) for key, value in tree.items.items()}


def find(tree: Tree, path: tuple[int | str, ...]) -> Place:
    """The place of what a path of keys and indices leads to, or of the last part of the path that exists."""
    place = tree.place
    for step in path:
        if isinstance(tree, Mapping) and str(step) in tree.items:
            place = tree.keys[str(step)]
            tree = tree.items[str(step)]
            if isinstance(tree, Scalar):
                place = tree.place
        elif isinstance(tree, Sequence) and isinstance(step, int) and step < len(tree.items):
            tree = tree.items[step]
            place = tree.place
        else:
            break
    return place


def key_place(tree: Tree, path: tuple[int | str, ...]) -> Place:
    """The place of the last key of the path itself, not of its value."""
    for step in path[:-1]:
        if isinstance(tree, Mapping) and str(step) in tree.items:
            tree = tree.items[str(step)]
        elif isinstance(tree, Sequence) and isinstance(step, int) and step < len(tree.items):
            tree = tree.items[step]
    if path and isinstance(tree, Mapping) and str(path[-1]) in tree.keys:
        return tree.keys[str(path[-1])]
    return tree.place


def read_file(path: Path, name: str | None = None) -> Mapping:
    """The mapping a file holds. Raises KnowledgeError when the file cannot be read or is not plain YAML."""
    shown = name or _shown(path)
    start = Place(shown, 1, 1)
    try:
        if path.stat().st_size > MAX_BYTES:
            message = f"the file is over {MAX_BYTES:,} bytes; split it by theme"
            raise KnowledgeError([error(start, "too-large", message)])
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as exc:
        raise KnowledgeError([error(start, "not-text", "the file is not UTF-8 text; save it as UTF-8")]) from exc
    except OSError as exc:
        raise KnowledgeError([error(start, "unreadable", f"the file cannot be read: {exc.strerror}")]) from exc
    return read_text(text, shown)


def _shown(path: Path) -> str:
    """A path as a person would type it: from the working folder where it is below that."""
    try:
        return str(path.resolve().relative_to(Path.cwd()))
    except ValueError:
        return str(path)


def read_text(text: str, name: str) -> Mapping:
    """The mapping that a text holds, as `read_file`."""
    problems: list[Problem] = []
    try:
        tree = _build(yaml.parse(text, Loader=_LOADER), name, problems)
    except yaml.MarkedYAMLError as exc:
        mark = exc.problem_mark or exc.context_mark
        place = Place(name, mark.line + 1, mark.column + 1) if mark else Place(name, 1, 1)
        said = exc.problem or exc.context
        message = f"this is not YAML: {said}; look at the indent, colons and quotes just before here"
        raise KnowledgeError([*problems, error(place, "not-yaml", message)]) from exc
    except yaml.YAMLError as exc:
        raise KnowledgeError([error(Place(name, 1, 1), "not-yaml", "a character here may not stand in YAML")]) from exc
    if tree is not None and not isinstance(tree, Mapping):
        message = "a file holds sections such as `rules:`, each with its entries below"
        problems.append(error(tree.place, "not-a-mapping", message))
    if problems:
        raise KnowledgeError(problems)
    return tree if isinstance(tree, Mapping) else Mapping(place=Place(name, 1, 1))


class _Builder:
    """Puts parse events together without recursion, so that deep nesting cannot exhaust the stack."""

    def __init__(self, name: str, problems: list[Problem]) -> None:
        self.name = name
        self.problems = problems
        self.root: Tree | None = None
        self.stack: list[Sequence | Mapping] = []
        self.pending: list[Scalar | None] = []

    def place(self, event: yaml.Event) -> Place:
        mark = event.start_mark
        return Place(self.name, mark.line + 1, mark.column + 1) if mark else Place(self.name, 1, 1)

    def add(self, node: Tree) -> None:
        if not self.stack:
            if self.root is not None:
                self.problems.append(error(node.place, "two-documents", "one document a file; remove the `---`"))
            self.root = node
            return
        parent = self.stack[-1]
        if isinstance(parent, Sequence):
            parent.items.append(node)
            return
        key = self.pending[-1]
        if key is None:
            if not isinstance(node, Scalar):
                self.problems.append(error(node.place, "key-not-text", "a key must be a single word or text"))
                node = Scalar(f"?{node.place.line}.{node.place.column}", node.place)
            self.pending[-1] = node
            return
        if key.text in parent.keys:
            first = parent.keys[key.text]
            message = f'"{key.text}" stands here twice, first at line {first.line}; keep one'
            self.problems.append(error(key.place, "duplicate-key", message))
        parent.items[key.text] = node
        parent.keys[key.text] = key.place
        self.pending[-1] = None

    def open(self, node: Sequence | Mapping) -> None:
        self.add(node)
        self.stack.append(node)
        self.pending.append(None)
        if len(self.stack) > MAX_DEPTH:
            raise KnowledgeError([error(node.place, "too-deep", f"nested more than {MAX_DEPTH} deep")])

    def close(self) -> None:
        self.stack.pop()
        self.pending.pop()


def _build(events: Iterator[yaml.Event], name: str, problems: list[Problem]) -> Tree | None:
    build = _Builder(name, problems)
    for event in events:
        if getattr(event, "anchor", None) or getattr(event, "tag", None):
            message = "anchors, aliases and tags are not used here; write the value out"
            problems.append(error(build.place(event), "anchor", message))
        if isinstance(event, yaml.ScalarEvent):
            build.add(Scalar(event.value, build.place(event)))
        elif isinstance(event, yaml.AliasEvent):
            build.add(Scalar("", build.place(event)))
        elif isinstance(event, yaml.MappingStartEvent):
            build.open(Mapping(place=build.place(event)))
        elif isinstance(event, yaml.SequenceStartEvent):
            build.open(Sequence(place=build.place(event)))
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            build.close()
    return build.root
