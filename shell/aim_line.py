"""Reads what is typed while the aim is set: rule, height and distance first, then the height of the cut-off."""

from __future__ import annotations

import re

from engine.mend_events import AimRead, Framed, StepDone
from engine.physics import aim, units
from engine.session import Session
from shell.meanings import Do, Meaning
from shell.names import Refusal, pick
from shell.tables_at_hand import tables

FIGURE = re.compile(r"-?\d+(?:[.,]\d+)?\s*(?:cm|mm|m|in|inch|inches|ft|feet|\"|'|%)?(?![\w])", re.IGNORECASE)
EXAMPLE = "as in `un-r48 65 cm 10 m`"
HIGHEST = 5.0  # m; no cut-off is read higher than this on a wall


def read_aim(session: Session, said: str) -> Meaning:
    """The meaning of a line typed at the wall."""
    word = said.strip().casefold()
    state = session.mending
    if word == "done":
        if not state.readings:
            return Refusal("Read the wall first: the height of the cut-off, as in `58 cm`. `later` leaves the aim")
        return Do((StepDone("aim", f"cut-off at {state.readings[-1]:.3f} m"),))
    figures = [one.group().strip() for one in FIGURE.finditer(re.sub(r"^\s*[a-z][a-z0-9-]*[a-z][a-z0-9-]*", "", word))]
    named = re.match(r"\s*([a-z][a-z0-9-]*)", word)
    try:
        if state.frame is not None and not named and len(figures) == 1:
            return _reading(figures[0])
        return _framed(session, named[1] if named else "", figures)
    except ValueError as wrong:
        return Refusal(str(wrong))


def _reading(figure: str) -> Meaning:
    cutoff = units.parse(figure, "cm")
    if not 0 <= cutoff <= HIGHEST:
        return Refusal("A cut-off is read between the ground and 5 m up the wall. Say its height, as in `58 cm`")
    return Do((AimRead(cutoff),))


def _framed(session: Session, name: str, figures: list[str]) -> Meaning:
    rules = tables(session.base).aim_rules
    frame = session.mending.frame
    rule = frame.rule if frame is not None and not name else None
    if rule is None:
        if not name:
            return Refusal(f"Say first which rule holds where you are, then the lamp's height and distance, {EXAMPLE}")
        found = pick(name, {one: row.title for one, row in rules.items()}, "a rule")
        if isinstance(found, Refusal):
            return found
        rule = found
    if len(figures) not in (2, 3):
        return Refusal(f"Say the height of the lamp and its distance from the wall, {EXAMPLE}; a plate's per cent last")
    height, distance = units.parse(figures[0], "cm"), units.parse(figures[1], "m")
    step = aim.step_for(rules[rule].bands, height)
    plate = -abs(units.parse(figures[2], "%")) if len(figures) == 3 else aim.middle(step.initial)
    aim.cutoff_height(height, distance, plate)
    return Do((Framed(rule, rules[rule].title, height, distance, step.limits, plate),))
