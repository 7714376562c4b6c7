"""A worked case must be able to run: readings that can be read, a lamp, and the fault that it ends with.

The cases are the regression tests of the rules. `lampwright kb cases` tells whether they end as written; this looks
only at what makes them fit to be run.

Likely mend: write readings as at the car, `12.6 V`; name the technology; name a fault of that technology.

Fails:

    cases:
      broken-bulb:
        story: A bulb broke.
        source: common-practice
        answers: {light-source: halogen, complaint: dead, battery-rest: 12.6 A}
        verdict: proved
        faults: filament-open

Passes:

    cases:
      broken-bulb:
        story: A bulb broke.
        source: common-practice
        answers: {light-source: halogen, complaint: dead, battery-rest: 12.6 V, bulb-look: broken}
        verdict: proved
        faults: filament-open
"""

from __future__ import annotations

from collections.abc import Iterator

from engine import schema
from engine.audit.survey import ERROR, Survey
from engine.physics import units
from engine.problems import Problem, nearest

CODE = "cases"
RAW = True
Path = tuple[int | str, ...]
NAMING = ("proved", "likely")


def check(survey: Survey) -> Iterator[Problem]:
    """What keeps a case from being run."""
    for name, case in survey.base.cases.items():
        for path, message in (*_readings(survey, case), *_ending(survey, case)):
            yield Problem(survey.at("cases", name, *path), ERROR, CODE, f"{name}: {message}")


def _readings(survey: Survey, case: schema.Case) -> Iterator[tuple[Path, str]]:
    for question, answer in case.answers.items():
        entry = survey.base.questions.get(question)
        if entry is None or entry.unit is None or answer in entry.outcomes:
            continue
        at: Path = ("answers", question)
        try:
            shown = units.unit(entry.unit or "").outward(units.parse(answer, entry.unit or ""))
        except ValueError as exc:
            yield at, f'"{answer}" is neither an outcome of {question} nor a reading: {exc}'
            continue
        low, high = entry.plausible or (shown, shown)
        if not low <= shown <= high:
            yield at, f"{answer} cannot be a reading of {question}; it takes {low:g} to {high:g} {entry.unit}"


def _ending(survey: Survey, case: schema.Case) -> Iterator[tuple[Path, str]]:
    if case.verdict in NAMING and not case.faults:
        yield (), f"a case that ends {case.verdict} names its `faults:`"
    technology = survey.base.technologies.get(case.answers.get(survey.base.roles.technology, ""))
    if technology is None:
        return
    for index, fault in enumerate(case.faults):
        if fault in survey.base.faults and fault not in technology.frequencies:
            hint = nearest(fault, technology.frequencies)
            yield ("faults", index), f'"{fault}" is not in play for {technology.name}{hint}'
