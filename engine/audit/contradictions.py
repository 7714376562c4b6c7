"""No finding may speak for a fault and against it at the same time.

Looked for: one finding that excludes a fault and also proves or raises it, or that both raises and lowers it, straight
or through conclusions, by one rule or by two; and two rules of which one excludes what the other proves, where one
fires whenever the other does. Different findings may well point different ways: that is what evidence does.

Likely mend: decide which of the two is true; leave the fault out of a selection with `but:`.

Fails:

    rules:
      fuse-cannot-be:
        when: {fuse-look: open}
        excludes: [{section: feed, mode: open}]
        because: It is open.
        source: common-practice

Passes:

    rules:
      open-fuse:
        when: {fuse-look: open}
        proves: fuse-open
        excludes: [{section: supply}]
        because: A full battery melted it.
        source: common-practice
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.audit.likeness import deeds, pairs
from engine.audit.survey import ERROR, WARNING, Sight, Survey, listed
from engine.problems import Problem

CODE = "contradictions"
RAW = False
Clash = tuple[str, str, str, str]  # the rule and kind of effect that speak for, and those that speak against
_AGAINST = {"proves": ("excludes", "lowers"), "raises": ("excludes", "lowers")}


def check(survey: Survey) -> Iterator[Problem]:
    """Rules that speak for and against a fault on the same finding."""
    found: dict[Clash, dict[str, None]] = {}
    seen: dict[Clash, Sight] = {}
    for sights in survey.sights.values():
        for sight in sights:
            for clash, fault in _clashes(survey, sight):
                found.setdefault(clash, {})[fault] = None
                seen.setdefault(clash, sight)
    for clash, faults in found.items():
        yield _problem(survey, clash, list(faults), f"on {seen[clash].question}: {seen[clash].outcome}")
    yield from _hard_pairs(survey, found)


def _clashes(survey: Survey, sight: Sight) -> Iterator[tuple[Clash, str]]:
    done = [(rule.id, effect.kind, fault) for rule in sight.rules for effect in rule.effects for fault in effect.faults]
    against: dict[str, list[tuple[str, str]]] = {}
    for rule, kind, fault in done:
        if kind in ("excludes", "lowers"):
            against.setdefault(fault, []).append((rule, kind))
    for rule, kind, fault in done:
        if kind in _AGAINST and not survey.base.faults[fault].both:
            for other, other_kind in against.get(fault, ()):
                yield (rule, kind, other, other_kind), fault


def _hard_pairs(survey: Survey, known: dict[Clash, dict[str, None]]) -> Iterator[Problem]:
    done = deeds(survey)
    single = {name for name, fault in survey.base.faults.items() if not fault.both}
    for narrow, wide, _ in pairs(survey):
        for pro, contra in ((narrow, wide), (wide, narrow)):
            both = {fault for kind, _, fault in done[pro] if kind == "proves"} & single
            both &= {fault for kind, _, fault in done[contra] if kind == "excludes"}
            if both and (pro, "proves", contra, "excludes") not in known:
                yield _problem(survey, (pro, "proves", contra, "excludes"), sorted(both), "whenever both fire")


def _problem(survey: Survey, clash: Clash, faults: list[str], when: str) -> Problem:
    rule, kind, other, other_kind = clash
    hard = other_kind == "excludes"
    place = survey.key("rules", other, other_kind)
    if rule == other:
        message = f'"{rule}" {kind} and {other_kind} {listed(faults)} {when}'
    else:
        at = survey.base.place("rules", rule)
        message = f'"{other}" {other_kind} what "{rule}" ({at}) {kind}, {listed(faults)}, {when}'
    return Problem(place, ERROR if hard else WARNING, CODE, f"{message}; only one can be right")
