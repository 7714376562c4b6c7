"""Two faults with different repairs must be told apart by some question.

Two faults of a technology count as twins when every rule that can fire there treats them alike: then no answer, under
any circumstances, can ever move the one against the other. This is sound but not complete: two faults may be told
apart only by rules that hardly matter. Faults that never share a complaint, and faults with the same repair, need no
telling apart.

Likely mend: add a question whose outcome speaks for one of them, or name only one of them in a rule.

Fails:

    faults:
      fuse-missing:
        name: missing fuse
        says: There is none.
        node: beam-fuse
        mode: open
        repair: fit-plug
    technologies:
      discharge:
        name: discharge lamp
        says: A glass tube with an arc.
        chain: [battery, beam-fuse, lamp-plug, ballast, source]
        paths: {}
        frequencies:
          fuse-open: {dead: 10}
          fuse-missing: {dead: 1}
          battery-weak: {dim: 9}
          plug-corroded: {dim: 9}
          ballast-dead: {dead: 9}
          tube-worn: {dead: 9}
    rules:
      whole-fuse:
        when: {fuse-look: whole}
        excludes: [{node: beam-fuse}]
        because: It can be seen.
        source: common-practice
      open-fuse:
        when: {fuse-look: open}
        raises: {strong: [{node: beam-fuse}]}
        because: It can be seen.
        source: common-practice

Passes:

    faults:
      fuse-missing:
        name: missing fuse
        says: There is none.
        node: beam-fuse
        mode: open
        repair: fit-plug
    technologies:
      discharge:
        name: discharge lamp
        says: A glass tube with an arc.
        chain: [battery, beam-fuse, lamp-plug, ballast, source]
        paths: {}
        frequencies:
          fuse-open: {dead: 10}
          fuse-missing: {dead: 1}
          battery-weak: {dim: 9}
          plug-corroded: {dim: 9}
          ballast-dead: {dead: 9}
          tube-worn: {dead: 9}
    questions:
      fuse-look:
        kind: test
        title: look at the fuse
        ask: How does it look?
        slip: 0.02
        outcomes:
          whole: {say: Whole.}
          open: {say: Melted., usual: 0.01}
          gone: {say: There is none., usual: 0.001}
    rules:
      whole-fuse:
        when: {fuse-look: whole}
        excludes: [{node: beam-fuse}]
        because: It can be seen.
        source: common-practice
      open-fuse:
        when: {fuse-look: open}
        proves: fuse-open
        because: It can be seen.
        source: common-practice
      no-fuse:
        when: {fuse-look: gone}
        proves: fuse-missing
        because: It can be seen.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.audit.survey import WARNING, Survey, listed
from engine.problems import Problem
from engine.references import ANY

CODE = "twins"
RAW = False


def check(survey: Survey) -> Iterator[Problem]:
    """Pairs of faults that no rule tells apart, with the technologies in which that is so."""
    found: dict[tuple[str, str], list[str]] = {}
    for technology in survey.circuits:
        for pair in _pairs(survey, technology):
            found.setdefault(pair, []).append(technology)
    for (first, second), technologies in found.items():
        at = survey.base.place("faults", first)
        message = (
            f'no question can tell "{second}" from "{first}" ({at}), though the repairs differ, '
            f"in {listed(technologies)}; add a question or a rule that speaks of one of them only"
        )
        yield Problem(survey.base.place("faults", second), WARNING, CODE, message)


def _pairs(survey: Survey, technology: str) -> Iterator[tuple[str, str]]:
    alike: dict[tuple[tuple[int, str, str], ...], list[str]] = {}
    marks: dict[str, list[tuple[int, str, str]]] = {fault: [] for fault in survey.circuits[technology].faults}
    for index, rule in enumerate(survey.live[technology]):
        if all(leaf.name in survey.base.circumstances for leaf in rule.when):
            continue  # it moves the odds from the start, but no question does
        for effect in rule.effects:
            for fault in effect.faults:
                marks[fault].append((index, effect.kind, effect.strength))
    for fault, seen in marks.items():
        alike.setdefault(tuple(sorted(seen)), []).append(fault)
    table = survey.base.technologies[technology].frequencies
    for group in alike.values():
        for index, first in enumerate(group):
            for second in group[index + 1 :]:
                differ = survey.base.faults[first].repair != survey.base.faults[second].repair
                if differ and _meet(table[first], table[second]):
                    yield first, second


def _meet(first: Mapping[str, float], second: Mapping[str, float]) -> bool:
    return ANY in first or ANY in second or bool(first.keys() & second.keys())
