"""Keeps rule bases that were read and found sound, so that the next start need not read and check them again.

As JSON, named by what it was made of: the files with their names, and the modules that read them. What is on the shelf
goes through the schema again when it is taken; anything odd about it, and the files are read as if there were no shelf.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from pydantic import ValidationError

from engine import loading, problems, references, schema, yamltree
from engine.base import Base
from engine.problems import Place

KEPT = 6  # bases on the shelf; the one used longest ago makes room
_READERS = (loading, problems, references, schema, yamltree)


def load(folders: Sequence[Path], shelf: Path | None) -> Base:
    """As `loading.load`, from the shelf when these very files lie there. Raises KnowledgeError."""
    name = _name(folders) if shelf else None
    if shelf is None or name is None:
        return loading.load(folders)
    kept = shelf / name
    base = _take(kept, folders)
    if base is None:
        base = loading.load(folders)
        with contextlib.suppress(OSError):  # a shelf that cannot be written is a slower start, no more
            _put(base, kept)
    return base


def _name(folders: Sequence[Path]) -> str | None:
    """A name that no other files share; None when some cannot be read, of which the reader will tell."""
    found = hashlib.sha256()
    try:
        found.update(f"{Path.cwd()}\n".encode())  # places name files from where the person stands
        for layer, path in _files(folders):
            content = path.read_bytes()
            found.update(f"{layer} {path.resolve()} {len(content)}\n".encode())
            found.update(content)
    except (OSError, UnicodeError):
        return None
    return f"{found.hexdigest()}.json"


def _files(folders: Sequence[Path]) -> Iterator[tuple[int, Path]]:
    """What the base is made of. OSError for a file that the reader may refuse."""
    for module in _READERS:
        yield -1, Path(str(module.__file__))
    for layer, folder in enumerate(folders):
        for path in loading.files(folder):
            if path.is_symlink() or path.stat().st_size > yamltree.MAX_BYTES:
                raise OSError(str(path))
            yield layer, path


def _take(kept: Path, folders: Sequence[Path]) -> Base | None:
    """The base in a file of the shelf; the tables, which are small, are read from their folders."""
    try:
        read = json.loads(kept.read_bytes())
        entries = schema.File.model_validate(read["entries"])
        places = {(section, name): Place(read["files"][file], *spot) for section, name, file, *spot in read["places"]}
        with contextlib.suppress(OSError):
            os.utime(kept)
    except (OSError, ValueError, KeyError, TypeError, IndexError, RecursionError, ValidationError):
        return None
    if entries.roles is None:
        return None
    reader = loading.Reader()
    for folder in folders:
        reader.read_tables(folder / loading.TABLES)
    if reader.problems:
        return None
    sections = {section: getattr(entries, section) for section in schema.SECTIONS}
    return Base(roles=entries.roles, places=places, tables=reader.tables, **sections)


def _put(base: Base, kept: Path) -> None:
    """Write a base whole or not at all, and make room."""
    sections = {name: getattr(base, name) for name in (*schema.SECTIONS, "roles")}
    entries = schema.File.model_construct(**sections).model_dump(mode="json", exclude_defaults=True)
    files = list(dict.fromkeys(place.file for place in base.places.values()))
    number = {file: index for index, file in enumerate(files)}
    places = [(*key, number[place.file], place.line, place.column) for key, place in base.places.items()]
    kept.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile("w", dir=kept.parent, suffix=".new", delete=False, encoding="utf-8") as file:
        json.dump({"entries": entries, "files": files, "places": places}, file)
    os.replace(file.name, kept)
    for old in sorted(kept.parent.glob("*.json"), key=lambda path: path.stat().st_mtime)[:-KEPT]:
        old.unlink(missing_ok=True)
