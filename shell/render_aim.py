"""The aim on the screen: which rules there are, the lines on the wall, and how far off a reading is."""

from __future__ import annotations

from engine.figures import Figure, aim_figure
from engine.mending import Frame
from engine.physics.aim import Step
from engine.physics.units import show
from engine.session import Session
from shell.layout import BLANK, Rows, bullets, heading, labelled, para
from shell.tables_at_hand import tables


def aim_rows(session: Session, width: int) -> Rows:
    """The step that sets the aim: what to say first, or the wall and what to read on it."""
    frame = session.mending.frame
    rows = [BLANK, *heading("Set the aim", width)]
    if frame is None:
        rows += para("The repair moved the beam. Stand the car square before a wall, 5 to 10 m away.", width)
        rows += para("Which rule holds is for the law where you are; the plate near the lamp goes before it.", width)
        known = tables(session.base).aim_rules.items()
        rows += bullets((f"{name}: {row.title}; height to the lamp's {row.datum}" for name, row in known), width)
        ask = "Type the rule, the lamp's height and its distance, as in: un-r48 65 cm 10 m"
        rows += para(ask, width, "strong", indent=2)
        return [
            *rows,
            *para("A plate that says, for instance, 1.2 %: put it last. Or: later", width, "faint", indent=2),
        ]
    found = figure(frame, session.mending.readings[-1] if session.mending.readings else None)
    rows += labelled("Rule", [frame.title], width)
    rows += wall_rows(frame, found, width)
    rows += para("Type the height of the cut-off on the wall, as in: 58 cm", width, "strong", indent=2)
    return [*rows, *para("done when it is right, or later", width, "faint", indent=2)]


def figure(frame: Frame, cutoff: float | None) -> Figure:
    """The wall for this frame, with a reading of the cut-off (m) if there is one."""
    step = Step(frame.height, (frame.target, frame.target), frame.limits)
    return aim_figure(frame.height, frame.distance, step, cutoff, frame.target)


def wall_rows(frame: Frame, found: Figure, width: int) -> Rows:
    """The heights on the wall, in cm and in, and what to mind."""
    texts = [
        f"{item.label}: {show(item.value, 'cm')} ({show(item.value, 'in')})"
        for item in found.items
        if item.key in ("belongs", "highest", "lowest")
    ]
    rows = para(f"Lamp at {show(frame.height, 'cm')}, wall at {show(frame.distance, 'm')}.", width)
    return [*rows, *bullets(texts, width), *labelled("Mind", found.mind, width)]


def reading_rows(session: Session, width: int) -> Rows:
    """How far off the last reading is, and which way."""
    state = session.mending
    if state.frame is None or not state.readings:
        return []
    found = figure(state.frame, state.readings[-1])
    off = next((item.value for item in found.items if item.key == "off_height"), 0.0)
    inches = f" That is {show(abs(off), 'in', 2)} on the wall." if abs(off) > 0.001 else ""
    return para(found.says[-1] + inches, width, "strong")
