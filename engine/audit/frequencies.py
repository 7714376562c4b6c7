"""Every fault must be in play somewhere, and every complaint must have a cause.

A fault counts for a technology only when it stands under that technology's `frequencies`. A complaint that no fault of
any technology lists leaves the program with nothing but strays. Both faults of a pair must be in play where it is.

Likely mend: add a line such as `fuse-open: {dead: 3}` under `frequencies:`, out of about a hundred of the complaint.

Fails:

    faults:
      lens-hazed:
        name: hazed lens
        says: It is dull.
        node: source
        mode: worn
        repair: fit-plug

Passes:

    technologies:
      halogen:
        name: halogen lamp
        says: A glass bulb with a glowing wire.
        chain: [battery, beam-fuse, lamp-plug, source]
        paths: {}
        frequencies:
          battery-weak: {dead: 5, dim: 30}
          fuse-open: {dead: 20}
          plug-corroded: {dead: 15, dim: 70}
          filament-open: {dead: 60}
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import WARNING, Survey
from engine.problems import Problem
from engine.references import ANY

CODE = "frequencies"
RAW = True


def check(survey: Survey) -> Iterator[Problem]:
    """Faults in no technology, halves of pairs, and complaints without faults."""
    base = survey.base
    tables = {name: technology.frequencies for name, technology in base.technologies.items()}
    placed = {fault for table in tables.values() for fault in table}
    for name in base.faults:
        if name not in placed:
            where = f"add `{name}: {{dead: 1}}` or the like under the `frequencies` of a technology"
            message = f'"{name}" is never in play; {where}'
            yield Problem(base.place("faults", name), WARNING, CODE, message)
    for technology, table in tables.items():
        for fault in table:
            for member in base.faults[fault].both if fault in base.faults else ():
                if member not in table:
                    place = survey.key("technologies", technology, "frequencies", fault)
                    yield Problem(place, WARNING, CODE, f'"{fault}" is in play here, but its part "{member}" is not')
    listed = {complaint for table in tables.values() for row in table.values() for complaint in row}
    complaints = base.questions.get(base.roles.complaint)
    for complaint in complaints.outcomes if complaints and ANY not in listed else ():
        if complaint not in listed:
            place = survey.key("questions", base.roles.complaint, "outcomes", complaint)
            yield Problem(place, WARNING, CODE, f'no fault of any technology lists the complaint "{complaint}"')
