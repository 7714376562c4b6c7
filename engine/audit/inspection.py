"""The whole inspection: reads the folders, runs every check, honours the allowances, sorts what is left."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from engine.audit import allowances, drafts, figures
from engine.audit.registry import BY_CODE, CHECKS
from engine.audit.survey import ERROR, Survey
from engine.base import Base
from engine.loading import Reader, finish
from engine.problems import KnowledgeError, Problem


def inspect_folders(folders: Sequence[Path]) -> list[Problem]:
    """Everything wrong or doubtful in the base that these folders make, sorted by place."""
    reader = Reader()
    for layer, folder in enumerate(folders):
        reader.read_folder(folder, layer)
    return inspect(reader, {name: _text(name) for name in sorted({place.file for place in reader.places.values()})})


def inspect(reader: Reader, files: dict[str, str]) -> list[Problem]:
    """Everything wrong or doubtful in what a reader has read; `files` holds the texts, for their remarks."""
    broken, base = _load(reader)
    found: list[Problem] = []
    if base is not None:
        survey = Survey(base, reader.trees)
        found = _doubts(survey, whole=not broken)
    allowed, unclear = allowances.read(files, BY_CODE)
    if broken:  # the checks that would use the other allowances have not run
        hit = {(one.place.file, one.place.line, one.code) for one in found}
        allowed = [one for one in allowed if (one.place.file, one.place.line, one.code) in hit]
    return sorted({*broken, *unclear, *allowances.apply(found, allowed)})


def _load(reader: Reader) -> tuple[list[Problem], Base | None]:
    """What keeps the base from loading, and the base, which may have loose ends then."""
    try:
        return [], finish(reader)
    except KnowledgeError as exc:
        roles = reader.roles[0] if reader.roles else None
        return list(exc.problems), Base(roles=roles, places=reader.places, **reader.entries) if roles else None


def _doubts(survey: Survey, whole: bool) -> list[Problem]:
    missing = any(problem.severity == ERROR for problem in figures.check(survey))
    found: list[Problem] = []
    for one in CHECKS:
        if one.RAW or (whole and not missing):  # without sound settings nothing can be reckoned
            found.extend(one.check(survey))
    unfinished = {survey.base.place(section, name): name for section, name in drafts.drafts(survey)}
    return [problem for problem in found if not _of_a_draft(problem, unfinished)]


def _of_a_draft(problem: Problem, unfinished: Iterable[object]) -> bool:
    """Whether a doubt is raised where a draft stands, whose one doubt is that it is a draft."""
    return problem.severity != ERROR and problem.code != drafts.CODE and problem.place in unfinished


def _text(name: str) -> str:
    try:
        return Path(name).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""  # gone since it was read
