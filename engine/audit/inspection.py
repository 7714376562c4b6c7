"""The whole inspection: reads the files, runs every check, honours the allowances, sorts what is left."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from engine import yamltree
from engine.audit import allowances, drafts, figures
from engine.audit.registry import BY_CODE, CHECKS
from engine.audit.survey import ERROR, Survey
from engine.base import Base
from engine.loading import Reader, finish
from engine.problems import KnowledgeError, Problem


@dataclass(frozen=True)
class Inspection:
    """What was found, sorted by place; `loads` says whether the base can be used, so that every check has run."""

    problems: tuple[Problem, ...]
    loads: bool


def inspect_paths(paths: Sequence[Path]) -> Inspection:
    """The inspection of the base that these folders and files make, a later one laid over an earlier one."""
    reader = Reader()
    for layer, path in enumerate(paths):
        if path.is_file():
            _read_file(reader, path, layer)
        else:
            reader.read_folder(path, layer)
    return inspect(reader, {name: _text(name) for name in sorted({place.file for place in reader.places.values()})})


def inspect(reader: Reader, files: Mapping[str, str]) -> Inspection:
    """The inspection of what a reader has read; `files` holds the texts, for the remarks in them."""
    broken, base = _load(reader)
    found = _doubts(Survey(base, reader.trees), whole=not broken) if base is not None else []
    allowed, unclear = allowances.read(files, BY_CODE)
    if broken:  # the checks that would use the other allowances have not run
        hit = {(one.place.file, one.place.line, one.code) for one in found}
        allowed = [one for one in allowed if (one.place.file, one.place.line, one.code) in hit]
    return Inspection(tuple(sorted({*broken, *unclear, *allowances.apply(found, allowed)})), not broken)


def _load(reader: Reader) -> tuple[list[Problem], Base | None]:
    """What keeps the base from loading, and the base, which may have loose ends then."""
    try:
        return [], finish(reader)
    except KnowledgeError as exc:
        roles = reader.roles[0] if reader.roles else None
        if roles is None:
            return list(exc.problems), None
        return list(exc.problems), Base(roles=roles, places=reader.places, tables=reader.tables, **reader.entries)


def _doubts(survey: Survey, whole: bool) -> list[Problem]:
    sound = whole and not any(problem.severity == ERROR for problem in figures.check(survey))
    # Without sound settings and names nothing can be reckoned.
    unfinished = drafts.lines(survey)
    found = [problem for one in CHECKS if one.RAW or sound for problem in one.check(survey)]
    return [problem for problem in found if not _of_a_draft(problem, unfinished)]


def _of_a_draft(problem: Problem, lines: Collection[tuple[str, int]]) -> bool:
    """Whether a doubt is raised where a draft stands, whose one doubt is that it is a draft."""
    unfinished = (problem.place.file, problem.place.line) in lines
    return unfinished and problem.severity != ERROR and problem.code != drafts.CODE


def _read_file(reader: Reader, path: Path, layer: int) -> None:
    try:
        reader.add(yamltree.read_file(path), layer)
    except KnowledgeError as exc:
        reader.problems.extend(exc.problems)


def _text(name: str) -> str:
    try:
        return Path(name).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""  # gone since it was read
