"""The wall figure: where the cut-off of each lamp belongs, drawn to scale for printing."""

import math
from dataclasses import dataclass

from engine.physics import aim
from engine.physics.units import preferred, show
from shell.drawing import Box, Drawing, Line, Shape, Text

PAGE = (297.0, 210.0)  # A4 across
MARGIN = 12.0
GROUND = 158.0  # mm from the top of the page to the ground line
SCALES = (5, 10, 15, 20, 25, 30, 40, 50)
KINK = math.radians(15)  # rise of the cut-off on the near side, as beams of this kind are built (common practice)


@dataclass(frozen=True)
class Wall:
    """What is drawn: heights, distances and spacing in m, slopes as ratios, `traffic` right or left."""

    mounting: float
    distance: float
    step: aim.Step
    target: float
    cutoff: float | None = None
    spacing: float = 1.2
    traffic: str = "right"
    system: str = "metric"
    rule: str = ""


def scale_for(wall: Wall) -> int:
    """The largest usual scale (1 to n) with which lamps and ground fit on the page. ValueError if none does."""
    for scale in SCALES:
        across = (wall.spacing + 0.8) * 1000 / scale
        up = (wall.mounting + 0.15) * 1000 / scale
        if across <= PAGE[0] - 2 * MARGIN - 50 and up <= GROUND - 32:
            return scale
    raise ValueError("These lamps are too far apart, or too high, to fit on the page")


@dataclass(frozen=True)
class _Frame:
    """Turns metres on the wall into millimetres on the page."""

    scale: int
    left: float
    right: float

    def x(self, across: float) -> float:
        return (self.left + self.right) / 2 + across * 1000 / self.scale

    def y(self, height: float) -> float:
        return GROUND - height * 1000 / self.scale


def draw(wall: Wall) -> Drawing:
    """The wall figure, on A4 across. ValueError if it does not fit or a number is out of range."""
    frame = _Frame(scale_for(wall), MARGIN, PAGE[0] - MARGIN - 50)
    shapes = [*_heading(wall, frame), *_bands(wall, frame), *_lamps(wall, frame), *_foot(wall, frame)]
    return Drawing(*PAGE, "Where the cut-off belongs", tuple(shapes))


def _heading(wall: Wall, frame: _Frame) -> list[Shape]:
    height, far = preferred("height", wall.system), preferred("distance", wall.system)
    return [
        Text(MARGIN, 16, "Where the cut-off belongs", 6),
        Text(
            MARGIN,
            23,
            f"Lamp {show(wall.mounting, height)} above the ground, wall {show(wall.distance, far)} away, "
            f"setting {show(wall.target, '%')}. {wall.rule}",
        ),
        Text(PAGE[0] - MARGIN, 16, f"Scale 1 : {frame.scale}", 4, "end"),
    ]


def _bands(wall: Wall, frame: _Frame) -> list[Shape]:
    low, high = (aim.cutoff_height(wall.mounting, wall.distance, slope) for slope in wall.step.limits)
    top, bottom = frame.y(high), frame.y(low)
    edge = frame.right + 2
    rows: list[tuple[float, str]] = [
        (wall.mounting, "height of the lamp"),
        (aim.cutoff_height(wall.mounting, wall.distance, wall.target), "cut-off belongs here"),
        (high, "highest that passes"),
        (low, "lowest that passes"),
    ]
    if wall.cutoff is not None:
        rows.append((wall.cutoff, "cut-off found"))
    shapes: list[Shape] = [Box(frame.left, top, frame.right - frame.left, bottom - top, 228)]
    unit = preferred("height", wall.system)
    at = _spread([frame.y(height) for height, _ in rows], 5.0)
    for (height, words), label in zip(rows, at, strict=True):
        y = frame.y(height)
        shapes.append(Line(((edge - 2, y), (edge + 4, label)), 0.15, grey=120))
        shapes.append(Text(edge + 5, label + 1.1, f"{show(height, unit)} {words}", 3.2))
    return shapes


def _spread(wanted: list[float], gap: float) -> list[float]:
    """Places for labels near where they are wanted, at least `gap` apart, order kept."""
    order = sorted(range(len(wanted)), key=lambda index: wanted[index])
    placed = dict.fromkeys(order, 0.0)
    last = -math.inf
    for index in order:
        last = max(wanted[index], last + gap)
        placed[index] = last
    shift = max(0.0, last - (GROUND - 3))
    return [placed[index] - shift for index in range(len(wanted))]


def _lamps(wall: Wall, frame: _Frame) -> list[Shape]:
    level, ground = frame.y(wall.mounting), GROUND
    shapes: list[Shape] = [
        Line(((frame.left, ground), (frame.right, ground)), 0.7),
        Text(frame.left, ground + 5, "ground", 3.2),
        Line(((frame.left, level), (frame.right, level)), 0.2, 2.0),
        Line(((frame.x(0), frame.y(wall.mounting + 0.1)), (frame.x(0), ground)), 0.2, 4.0),
        Text(frame.x(0), ground + 5, "middle of the vehicle", 3.2, "middle"),
    ]
    target = frame.y(aim.cutoff_height(wall.mounting, wall.distance, wall.target))
    near = 1 if wall.traffic == "right" else -1
    for side in (-1, 1):
        x = frame.x(side * wall.spacing / 2)
        shapes.append(Line(((x, level - 8), (x, ground)), 0.2, 2.0))
        shapes += [Line(((x - 3, level), (x + 3, level)), 0.6), Line(((x, level - 3), (x, level + 3)), 0.6)]
        away = 0.36 * 1000 / frame.scale
        rise = away * math.tan(KINK)
        shapes.append(Line(((x - near * away, target), (x, target), (x + near * away, target - rise)), 0.8))
        if wall.cutoff is not None:
            y = frame.y(wall.cutoff)
            shapes.append(Line(((x - near * away, y), (x, y)), 0.5, 1.2))
    return shapes


def _foot(wall: Wall, frame: _Frame) -> list[Shape]:
    bar, y = 100.0, GROUND + 17
    unit = preferred("height", wall.system)
    real = bar * frame.scale / 1000
    lines = (
        f"Check the print: this bar is 100 mm long on paper, and stands for {show(real, unit)} on the wall.",
        "Level ground, square to the wall. Right tyre pressures, driver's weight in the seat, levelling control at 0.",
        "Thick line: where the cut-off of each lamp belongs. Grey: what passes. One lamp at a time, cover the other.",
        "The plate near the lamp or the handbook goes before this sheet; local rules may differ.",
    )
    bar_line = [Line(((MARGIN, y), (MARGIN + bar, y)), 0.5)]
    ends = [Line(((x, y - 2), (x, y + 2)), 0.5) for x in (MARGIN, MARGIN + bar)]
    return [*bar_line, *ends, *(Text(MARGIN, y + 7 + 5 * row, words, 3.2) for row, words in enumerate(lines))]
