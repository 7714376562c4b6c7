"""The aim: framed by rule, height and distance; read on the wall; said how far off and which way."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from engine.events import Answered
from engine.mend_events import AimRead, Begun, Framed, StepDone
from engine.mending import Frame
from engine.physics import aim
from engine.session import Session
from engine.steps import Cured, SetAim, Work
from engine.tables import load_tables
from shell.aim_line import read_aim
from shell.meanings import Do
from shell.names import Refusal
from shell.render_aim import figure
from shell.tables_at_hand import shipped_tables
from tests.mending.base import BROKEN, after, no_cause, through
from tests.shell.jobs import hold


def at_the_wall(repair: str = "new-bulb") -> Session:
    """A lamp that works, all put back."""
    session = through(after([*BROKEN, Begun((repair,))]), "works")[0]
    session = no_cause(after([Answered("clip", "firm"), Answered("plug-look", "clean")], session))
    while isinstance(session.step, Work):
        session = after([StepDone("refit")], session)
    return session


def test_only_a_repair_that_moves_the_beam_asks_for_the_aim() -> None:
    """A new bulb does, a new plug does not."""
    assert at_the_wall().step == SetAim(framed=False)
    assert isinstance(at_the_wall("new-plug").step, Cured)


@pytest.mark.outside("UN R48 6.2.6.1.2, from memory: 1.0 to 1.5 per cent down, limits 0.5 to 2.5, lamp up to 0.8 m")
def test_the_lines_stand_where_the_rule_puts_them() -> None:
    """Lamp at 65 cm, wall at 10 m: the limits are 5 to 25 cm below the lamp and the setting 12.5 cm below."""
    held = hold(["un-r48 65 cm 10 m"], at_the_wall())
    for words in ("belongs at: 52.5 cm", "highest that passes: 60 cm", "lowest that passes: 40 cm"):
        assert words in held.text
    assert held.session.step == SetAim(framed=True)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("58 cm", "within the limits, 5.5 cm (0.55 %) too high: lower it"),
        ("22.8 in", "within the limits"),
        ("35 cm", "outside the limits, 18 cm (1.8 %) too low: raise it"),
        ("70", "outside the limits"),
        ("52.5 cm", "on the setting"),
    ],
)
def test_a_reading_says_how_far_and_which_way(line: str, words: str) -> None:
    """In per cent and in centimetres and inches, with the way to turn it."""
    held = hold(["un-r48 65 cm 10 m", line], at_the_wall())
    assert words in held.text and not held.refused


def test_every_reading_is_kept_and_the_last_one_counts() -> None:
    """Before and after stand on the record; `done` ends it."""
    held = hold(["un-r48 65 10", "58 cm", "53 cm", "done"], at_the_wall())
    assert held.session.mending.readings == pytest.approx((0.58, 0.53)) and isinstance(held.session.step, Cured)
    assert "aim was not read" not in held.text


def test_a_plate_goes_before_the_rule_however_its_sign_is_typed() -> None:
    """A per cent at the end is the setting, always down."""
    for plate in ("1.2 %", "-1.2 %", "1.2"):
        meaning = read_aim(at_the_wall(), f"un-r48 65 cm 10 m {plate}")
        assert isinstance(meaning, Do)
        (event,) = meaning.events
        assert isinstance(event, Framed) and event.target == pytest.approx(-0.012)


@pytest.mark.parametrize("rule", sorted(shipped_tables().aim_rules))
def test_every_rule_can_be_chosen(rule: str) -> None:
    """Each rule of the table frames a wall with its own limits, in inches and feet as well."""
    meaning = read_aim(at_the_wall(), f"{rule} 26 in 25 ft")
    assert isinstance(meaning, Do)
    (event,) = meaning.events
    assert isinstance(event, Framed)
    assert event.height == pytest.approx(0.6604) and event.distance == pytest.approx(7.62)
    assert event.limits == aim.step_for(shipped_tables().aim_rules[rule].bands, event.height).limits


def test_a_rule_of_ones_own_is_offered_and_counts(tmp_path: Path) -> None:
    """A row in the base's own tables, invented here: it is listed, chosen by name, and its limits draw the wall."""
    text = """aim_rules:
  bread-vans:
    {title: "Yard rule, invented", datum: centre, status: practice, source: invented,
     steps: [{up_to: 3.0, initial: [-2.0, -2.0], limits: [-3.0, -1.0]}]}
"""
    (tmp_path / "own.yaml").write_text(text, encoding="utf-8")
    session = at_the_wall()
    own = replace(session, base=replace(session.base, tables=load_tables(tmp_path, shipped_tables())))
    held = hold(["bread-vans 60 cm 10 m"], own)
    assert "Yard rule, invented" in held.text and "belongs at: 40 cm" in held.text
    assert isinstance(read_aim(session, "bread-vans 60 cm 10 m"), Refusal)


@pytest.mark.parametrize(
    "line",
    ["65 cm 10 m", "nowhere 65 cm 10 m", "un-r48", "un-r48 65 cm", "un-r48 9 m 9 m", "un-r48 65 cm 900 m", "done", ""],
)
def test_what_does_not_frame_a_wall_is_refused(line: str) -> None:
    """No rule, no such rule, too few figures, a lamp in the clouds: each is refused in words."""
    meaning = read_aim(at_the_wall(), line)
    assert isinstance(meaning, Refusal) and re.search(r"[a-z]{3}", meaning.message)


def test_figures_without_a_rule_move_the_wall_under_the_same_rule() -> None:
    """Once a rule is chosen, two figures are a new height and distance."""
    held = hold(["un-r48 65 cm 10 m", "70 cm 5 m"], at_the_wall())
    frame = held.session.mending.frame
    assert frame is not None and (frame.rule, frame.height, frame.distance) == ("un-r48", 0.7, 5.0)


def test_the_wall_can_be_left_and_is_said_at_the_end() -> None:
    """`later` leaves the aim; the end warns."""
    held = hold(["later"], at_the_wall())
    assert isinstance(held.session.step, Cured) and "aim was not read" in held.text


def test_the_figure_agrees_with_the_physics() -> None:
    """The heights shown are those of the aim module, for any frame."""
    frame = Frame("r", "t", 0.8, 7.5, (-0.03, -0.01), -0.02)
    found = {item.key: item.value for item in figure(frame, 0.7).items}
    assert found["belongs"] == pytest.approx(aim.cutoff_height(0.8, 7.5, -0.02))
    assert found["off_height"] == pytest.approx(0.7 - found["belongs"])
    assert AimRead(0.7).cutoff == 0.7
