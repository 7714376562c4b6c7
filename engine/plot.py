"""Draws how the odds moved as SVG: one answer below the other, a line for each suspect, its name where it ends."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from engine import svg
from engine.odds import Odds, Point

WIDTH = 360.0  # a phone's
EDGE = 2.0
TEXT, LEFT, RIGHT = 178.0, 192.0, 348.0  # the words' room, and where the scale begins and ends
TOP = 34.0
SMALL = 11.0
LEAST = 30.0  # between two points
STEP = 16.0  # between the names at the end
MARKS = (0.0, 0.25, 0.5, 0.75, 1.0)
# Lines differ by dash and by weight as well as by tone.
STYLES: tuple[dict[str, object], ...] = (
    {"stroke_width": 2.8, "opacity": 1.0},
    {"stroke_width": 2.0, "opacity": 0.8, "stroke_dasharray": "8 4"},
    {"stroke_width": 2.0, "opacity": 0.8, "stroke_dasharray": "2 3"},
    {"stroke_width": 1.4, "opacity": 0.7, "stroke_dasharray": "10 3 2 3"},
    {"stroke_width": 1.2, "opacity": 0.6, "stroke_dasharray": "4 6"},
)

Percent = Callable[[float], str]


def draw(odds: Odds, name: str, percent: Percent) -> str:
    """The plot as SVG. `name` makes its ids its own on a page, `percent` puts a share from 0 to 1 into words."""
    said = [
        svg.lines(f"{number}. {point.said}", TEXT / (svg.BOLD if point.repair else 1), SMALL, 3)
        for number, point in enumerate(odds.points, 1)
    ]
    heights, bottom = _down(said)
    body = [_scale(heights[0] - 12, bottom)]
    for lines, point, y in zip(said, odds.points, heights, strict=True):
        body.append(_row(lines, point, y))
    for index in range(len(odds.faults)):
        body.append(_course(odds, index, heights))
    ends, last = _ends(odds, heights[-1], bottom, percent)
    body.append(ends)
    title = "How the odds moved after each answer"
    return svg.frame(name, WIDTH, last + 10, title, " ".join(sentences(odds, percent)), "".join(body))


def sentences(odds: Odds, percent: Percent) -> tuple[str, ...]:
    """What the plot shows, suspect by suspect, in words."""
    found = []
    for index, fault in enumerate(odds.names):
        course = [point.shares[index] for point in odds.points]
        peak = max(course)
        words = f"{fault}: {percent(course[0])} to begin with, {percent(course[-1])} at the end"
        between = f", {percent(peak)} at most" if peak > max(course[0], course[-1]) + 0.05 else ""
        found.append(f"{words}{between}.")
    return tuple(found)


def _down(said: Sequence[Sequence[str]]) -> tuple[list[float], float]:
    """The height of each point, and of the end: words must have room below those before."""
    at, found = TOP, []
    for lines in said:
        room = max(LEAST, len(lines) * SMALL * svg.LEADING + 8)
        found.append(at + room / 2)
        at += room
    return found, at


def _x(share: float) -> float:
    return LEFT + share * (RIGHT - LEFT)


def _scale(top: float, bottom: float) -> str:
    found = []
    for mark in MARKS:
        found.append(svg.path(f"M{_x(mark):.1f} {top:.1f}V{bottom:.1f}", stroke_width=0.6, opacity=0.35))
        words = f"{mark * 100:.0f}" + (" %" if mark == 1 else "")
        anchor = "end" if mark == 1 else "middle"
        found.append(svg.text(_x(mark) + (8 if mark == 1 else 0), top - 5, words, SMALL, text_anchor=anchor))
    return "".join(found)


def _row(lines: Sequence[str], point: Point, y: float) -> str:
    top = y - len(lines) * SMALL * svg.LEADING / 2
    rule = svg.path(f"M{LEFT:.1f} {y:.1f}H{RIGHT:.1f}", stroke_width=2.0, opacity=0.3) if point.repair else ""
    return rule + svg.block(EDGE, top, lines, SMALL, font_weight="bold" if point.repair else None)


def _course(odds: Odds, index: int, heights: Sequence[float]) -> str:
    style = STYLES[index % len(STYLES)]
    places = [(_x(point.shares[index]), y) for point, y in zip(odds.points, heights, strict=True)]
    way = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in places)
    dots = "".join(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.2" opacity="{style["opacity"]}"/>' for x, y in places)
    return svg.path(way, stroke_linejoin="round", **style) + dots


def _ends(odds: Odds, start: float, bottom: float, percent: Percent) -> tuple[str, float]:
    """The names, each led to from the end of its line: the smallest share first, so that no leader crosses a name."""
    last = odds.points[-1].shares
    order = sorted(range(len(last)), key=lambda index: (last[index], -index))
    found, y, before = [], bottom + STEP, -1e9
    for index in order:
        x = max(_x(last[index]), before + 7)
        before = x
        style = STYLES[index % len(STYLES)]
        words = svg.lines(f"{odds.names[index]} {_kept(percent(last[index]))}", (x - 10 - EDGE) / svg.BOLD, SMALL, 2)
        foot = y + (len(words) - 1) * SMALL * svg.LEADING
        found.append(
            svg.path(f"M{_x(last[index]):.1f} {start:.1f}L{x:.1f} {bottom + 4:.1f}V{y - 3:.1f}H{x - 4:.1f}", **style)
        )
        found.append(svg.block(x - 7, y - SMALL, words, SMALL, text_anchor="end", font_weight="bold"))
        y = foot + STEP
    return "".join(found), y - STEP


def _kept(figure: str) -> str:
    """A figure and its unit, not to be parted at a line's end."""
    return figure.replace(" ", "\u00a0")
