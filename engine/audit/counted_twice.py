"""One finding must not raise or lower the same fault by two rules.

The effects of all rules that rest on one finding are multiplied, also when one of them gets there through a
conclusion. Two rules that say the same of the same finding make it weigh far more than either author meant. Adding
such rules up on purpose is a choice that should be said with a single, stronger word.

Likely mend: keep the rule that is nearer the finding, or leave the fault out of the wider one with `but:`.

Fails:

    rules:
      green-is-common:
        when: {plug-look: green}
        raises: {strong: plug-corroded}
        because: It is green.
        source: common-practice

Passes:

    rules:
      green-plug:
        when: {plug-look: green}
        proves: plug-corroded
        advises: water-in-plug
        because: It is green.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.survey import WARNING, Sight, Survey, listed
from engine.problems import Problem

CODE = "counted-twice"
RAW = False
_DIRECTION = {"proves": "raises", "raises": "raises", "lowers": "lowers"}


def check(survey: Survey) -> Iterator[Problem]:
    """Pairs of rules that count one finding twice for one fault."""
    faults: dict[tuple[str, str], dict[str, None]] = {}
    seen: dict[tuple[str, str], tuple[Sight, str]] = {}
    order = {name: index for index, name in enumerate(survey.base.rules)}
    for sights in survey.sights.values():
        for sight in sights:
            for first, second, direction, fault in _twice(survey, sight):
                pair = (first, second) if order[first] < order[second] else (second, first)
                faults.setdefault(pair, {})[fault] = None
                seen.setdefault(pair, (sight, direction))
    for (first, second), named in faults.items():
        sight, direction = seen[first, second]
        at = survey.base.place("rules", first)
        message = (
            f'"{second}" {direction} {listed(named)} on {sight.question}: {sight.outcome}, '
            f'and so does "{first}" ({at}); the finding counts twice'
        )
        yield Problem(survey.base.place("rules", second), WARNING, CODE, message)


def _twice(survey: Survey, sight: Sight) -> Iterator[tuple[str, str, str, str]]:
    first: dict[tuple[str, str], str] = {}
    for rule in sight.rules:
        for effect in rule.effects:
            direction = _DIRECTION.get(effect.kind)
            for fault in effect.faults if direction else ():
                if survey.base.faults[fault].both:
                    continue  # a pair of faults is met by what meets either member, which is no fault of the rules
                before = first.setdefault((direction or "", fault), rule.id)
                if before != rule.id:
                    yield before, rule.id, direction or "", fault
