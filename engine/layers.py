"""Lays a graph out in columns from left to right: few crossings, no overlaps, lines that pass beside the boxes.

The steps are the usual ones of layered drawing (longest-path layers, barycentre ordering, then placing), after
Sugiyama, Tagawa and Toda, IEEE Trans. SMC 11(2), 1981 (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

SWEEPS = 12
GAP = 12.0  # between boxes of a column
SLIM = 6.0  # the height of a place where a line passes through a column
PORT = 15.0  # between lines that end at the same box


@dataclass(frozen=True)
class Box:
    """A box to place: its column from 0, the least height it needs."""

    name: str
    column: int
    height: float


@dataclass(frozen=True)
class Placed:
    """Where things came to lie: top and height of each box; for each line its heights from column to column."""

    top: Mapping[str, float]
    height: Mapping[str, float]
    lines: Mapping[tuple[str, str], tuple[float, ...]]
    total: float


@dataclass(frozen=True)
class _Spot:
    """A box, or a place where a line passes through a column."""

    name: str
    height: float


def place(boxes: Sequence[Box], edges: Sequence[tuple[str, str]]) -> Placed:
    """Places boxes and lines. Every edge runs to a later column; ValueError otherwise."""
    column = {box.name: box.column for box in boxes}
    if any(column[start] >= column[end] for start, end in edges):
        raise ValueError("a line must run to a later column")
    ways = {(start, end): _way(start, end, column) for start, end in edges}
    links = [pair for way in ways.values() for pair in pairwise(way)]
    ends = {box.name: max(sum(start == box.name for start, _ in links), sum(end == box.name for _, end in links))
            for box in boxes}  # fmt: skip
    heights = {box.name: max(box.height, ends[box.name] * PORT + 4) for box in boxes}
    rows: list[list[_Spot]] = [[] for _ in range(max(column.values(), default=-1) + 1)]
    for box in boxes:
        rows[box.column].append(_Spot(box.name, heights[box.name]))
    for way in ways.values():
        for name in way[1:-1]:
            rows[column[way[0]] + way.index(name)].append(_Spot(name, SLIM))
    ordered = _ordered(rows, links)
    middle = _middles(ordered, links)
    ports = _ports(links, middle, heights)
    lines = {pair: _heights(way, ports) for pair, way in ways.items()}
    top = {name: middle[name] - height / 2 for name, height in heights.items()}
    total = max((middle[spot.name] + spot.height / 2 for row in ordered for spot in row), default=0.0)
    return Placed(top, heights, lines, total)


def _way(start: str, end: str, column: Mapping[str, int]) -> tuple[str, ...]:
    """A line's stops: its two boxes, and a place in each column between them."""
    between = range(column[start] + 1, column[end])
    return (start, *(f"{start}\n{end}\n{number}" for number in between), end)


def _heights(way: tuple[str, ...], ports: Mapping[tuple[str, str, str], float]) -> tuple[float, ...]:
    found: list[float] = []
    for start, end in pairwise(way):
        found += [ports["out", start, end], ports["in", start, end]]
    return tuple(found)


def _ordered(rows: list[list[_Spot]], links: Sequence[tuple[str, str]]) -> list[list[_Spot]]:
    """The columns with their spots in an order of few crossings."""
    best, fewest = [list(row) for row in rows], _crossings(rows, links)
    current = [list(row) for row in rows]
    for sweep in range(SWEEPS):
        forward = sweep % 2 == 0
        order = range(1, len(current)) if forward else range(len(current) - 2, -1, -1)
        for index in order:
            beside = {spot.name: at for at, spot in enumerate(current[index - 1 if forward else index + 1])}
            current[index] = _by_barycentre(current[index], beside, links, forward)
        count = _crossings(current, links)
        if count < fewest:
            best, fewest = [list(row) for row in current], count
    return best


def _by_barycentre(
    row: list[_Spot], beside: Mapping[str, int], links: Sequence[tuple[str, str]], forward: bool
) -> list[_Spot]:
    weights = {}
    for at, spot in enumerate(row):
        near = [start if forward else end for start, end in links if (end if forward else start) == spot.name]
        places = [beside[name] for name in near if name in beside]
        weights[spot.name] = sum(places) / len(places) if places else float(at)
    return sorted(row, key=lambda spot: weights[spot.name])


def _crossings(rows: list[list[_Spot]], links: Sequence[tuple[str, str]]) -> int:
    at = {spot.name: (index, number) for index, row in enumerate(rows) for number, spot in enumerate(row)}
    pairs = sorted((at[start][0], at[start][1], at[end][1]) for start, end in links)
    return sum(
        1
        for index, (column, high, low) in enumerate(pairs)
        for other, top, bottom in pairs[index + 1 :]
        if column == other and (high - top) * (low - bottom) < 0
    )


def _middles(rows: list[list[_Spot]], links: Sequence[tuple[str, str]]) -> dict[str, float]:
    """The height of the middle of each spot: near the spots it is linked with, without overlaps."""
    middle: dict[str, float] = {}
    for row in rows:
        at = 0.0
        for spot in row:
            middle[spot.name] = at + spot.height / 2
            at += spot.height + GAP
    for _ in range(SWEEPS):
        for row in rows:
            wanted = []
            for spot in row:
                near = [middle[a if b == spot.name else b] for a, b in links if spot.name in (a, b)]
                wanted.append(sum(near) / len(near) if near else middle[spot.name])
            middle.update(zip((spot.name for spot in row), _apart(row, wanted), strict=True))
    least = min((middle[spot.name] - spot.height / 2 for row in rows for spot in row), default=0.0)
    return {name: height - least for name, height in middle.items()}


def _apart(row: list[_Spot], wanted: list[float]) -> list[float]:
    """Heights near those wanted, in order, that leave gaps: neighbours that would overlap move as one."""
    groups: list[tuple[float, int]] = []  # the sum of where members want the group's first to be, and their number
    offsets = [0.0]
    for before, after in pairwise(row):
        offsets.append(offsets[-1] + before.height / 2 + GAP + after.height / 2)
    for want, offset in zip(wanted, offsets, strict=True):
        groups.append((want - offset, 1))
        while len(groups) > 1 and groups[-2][0] / groups[-2][1] > groups[-1][0] / groups[-1][1]:
            last = groups.pop()
            groups[-1] = (groups[-1][0] + last[0], groups[-1][1] + last[1])
    firsts = [total / count for total, count in groups for _ in range(count)]
    return [first + offset for first, offset in zip(firsts, offsets, strict=True)]


def _ports(
    links: Sequence[tuple[str, str]], middle: Mapping[str, float], heights: Mapping[str, float]
) -> dict[tuple[str, str, str], float]:
    """Where each line leaves and reaches a spot: spread over its side in the order of the other ends."""
    found = {}
    for side, own, other in (("out", 0, 1), ("in", 1, 0)):
        for name in dict.fromkeys(pair[own] for pair in links):
            here = sorted((pair for pair in links if pair[own] == name), key=lambda pair: middle[pair[other]])
            step = min(PORT * 1.5, heights[name] / (len(here) + 1)) if name in heights else 0.0
            for index, (start, end) in enumerate(here):
                shift = (index - (len(here) - 1) / 2) * max(step, PORT if name in heights and len(here) > 1 else 0)
                found[side, start, end] = middle[name] + shift
    return found
