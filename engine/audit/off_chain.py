"""A fault in play must sit in a part of its technology's chain.

`upstream_of`, `downstream_of` and light paths look for the fault's part in the chain; a fault whose part is not there
escapes them without a word. A fault needs either a part or, for two at once, the two under `both`, not neither.

Likely mend: put the part into the `chain`, or mend the fault's `node`.

Fails:

    technologies:
      halogen:
        name: halogen lamp
        says: A glass bulb with a glowing wire.
        chain: [battery, beam-fuse, lamp-plug]
        paths: {}
        frequencies:
          battery-weak: {dead: 5, dim: 30}
          fuse-open: {dead: 20}
          plug-corroded: {dead: 15, dim: 70}
          filament-open: {dead: 60}

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

from engine.audit.survey import ERROR, WARNING, Survey
from engine.problems import Problem

CODE = "off-chain"
RAW = True


def check(survey: Survey) -> Iterator[Problem]:
    """Faults outside the chain of a technology that lists them, and faults without a place at all."""
    base = survey.base
    for name, fault in base.faults.items():
        if bool(fault.node) == bool(fault.both):
            message = f'"{name}" needs `node:`, or `both:` with the two faults, and not the other'
            yield Problem(base.place("faults", name), ERROR, CODE, message)
        elif fault.both and (len(fault.both) != 2 or name in fault.both):
            message = f'"{name}": `both` names the two faults it is made of'
            yield Problem(survey.at("faults", name, "both"), ERROR, CODE, message)
    for technology, entry in base.technologies.items():
        for name in entry.frequencies:
            node = base.faults[name].node if name in base.faults else None
            if node and node not in entry.chain:
                message = f'"{name}" sits in "{node}", which is not in the chain of {technology}; add it to `chain:`'
                yield Problem(survey.key("technologies", technology, "frequencies", name), WARNING, CODE, message)
