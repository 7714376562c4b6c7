"""Draws the graph of a reasoning as SVG: findings on the left, through rules and conclusions, to the faults."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise

from engine import svg
from engine.argument import Edge, Graph, Node
from engine.layers import Box, Placed, place

WIDTHS = {"finding": 168.0, "rule": 214.0, "conclusion": 128.0, "fault": 168.0}
HEADS = {"finding": "Findings", "rule": "Rules", "conclusion": "Conclusions", "fault": "Faults"}
PAD, TOP, MARGIN = 8.0, 30.0, 4.0
PLAIN_GAP, WORD_GAP = 44.0, 84.0  # between columns; wide where a word stands on each line
SMALL = 10.5
# for: a plain line; against and ruled out: broken ones. The word stands beside each.
_DASH = {"against": "6 4", "rules out": "2 3"}
_STROKE = {"proves": 2.4, "for": 1.6, "against": 1.2, "rules out": 1.2}
_GREY = 0.55

Percent = Callable[[float], str]


def draw(graph: Graph, name: str, percent: Percent) -> str:
    """The picture as SVG. `name` makes its ids its own on a page, `percent` puts a share from 0 to 1 into words."""
    columns = _columns(graph)
    said = {node.name: _lines(node, percent) for node in graph.nodes}
    boxes = [Box(node.name, columns[node.name], _height(said[node.name])) for node in graph.nodes]
    placed = place(boxes, [(edge.start, edge.end) for edge in graph.edges])
    left, widths = _across(graph, columns)
    body = [_heads(graph, columns, left)]
    body += [_line(edge, columns, left, widths, placed) for edge in graph.edges]
    body += [_word(edge, left[columns[edge.end]], placed) for edge in graph.edges if edge.says]
    body += [_box(node, said[node.name], left[columns[node.name]], placed) for node in graph.nodes]
    width = left[-1] + widths[-1] + MARGIN if left else 0.0
    title = "How the findings lead, by way of rules, to the faults"
    return svg.frame(
        name, width, placed.total + TOP + MARGIN, title, " ".join(sentences(graph, percent)), "".join(body)
    )


def sentences(graph: Graph, percent: Percent) -> tuple[str, ...]:
    """What the picture shows, fault by fault, in words."""
    nodes = {node.name: node for node in graph.nodes}
    found = []
    for fault in (node for node in graph.nodes if node.kind == "fault"):
        parts = [f"{fault.text}: {_standing(fault, percent)}."]
        for edge in graph.edges:
            if edge.end == fault.name:
                parts.append(f"{_verb(edge)}: {nodes[edge.start].text.rstrip('.')}{_from(edge.start, graph, nodes)}.")
        found.append(" ".join(parts))
    return tuple(found)


def _verb(edge: Edge) -> str:
    return {"for": "For it speaks", "against": "Against it speaks", "rules out": "Ruled out", "proves": "Proved"}.get(
        edge.says, "From"
    )


def _from(rule: str, graph: Graph, nodes: Mapping[str, Node]) -> str:
    facts = [nodes[edge.start].text for edge in graph.edges if edge.end == rule]
    return f" (from: {'; '.join(facts)})" if facts else ""


def _standing(fault: Node, percent: Percent) -> str:
    if fault.out:
        return "ruled out"
    return percent(fault.share) if fault.share is not None else ""


def _columns(graph: Graph) -> dict[str, int]:
    """The column of each box: just after what comes before it, findings just before their first rule, faults last."""
    before: dict[str, list[str]] = {node.name: [] for node in graph.nodes}
    for edge in graph.edges:
        before[edge.end].append(edge.start)
    column: dict[str, int] = {}

    def depth(name: str) -> int:
        if name not in column:
            column[name] = 0  # a ring of rules, each resting on the other, must not go round for ever
            column[name] = max((depth(one) + 1 for one in before[name]), default=0)
        return column[name]

    for node in graph.nodes:
        depth(node.name)
    last = max((column[node.name] for node in graph.nodes if node.kind == "fault"), default=0)
    for node in graph.nodes:
        if node.kind == "fault":
            column[node.name] = last
        elif node.kind == "finding":
            after = [column[edge.end] for edge in graph.edges if edge.start == node.name]
            column[node.name] = max(0, min(after, default=1) - 1)
    return column


def _lines(node: Node, percent: Percent) -> list[tuple[str, bool]]:
    """The lines in a box, and whether each is strong."""
    room = WIDTHS[node.kind] - 2 * PAD
    found = [(line, node.leads) for line in svg.lines(node.text, room, svg.SIZE * (svg.BOLD if node.leads else 1), 6)]
    standing = _standing(node, percent) if node.kind == "fault" else ""
    return [*found, (standing, True)] if standing else found


def _height(said: Sequence[tuple[str, bool]]) -> float:
    return len(said) * svg.SIZE * svg.LEADING + 2 * PAD - 2


def _across(graph: Graph, columns: Mapping[str, int]) -> tuple[list[float], list[float]]:
    """The left edge and the width of each column."""
    count = max(columns.values(), default=-1) + 1
    kinds = [{node.kind for node in graph.nodes if columns[node.name] == index} for index in range(count)]
    widths = [max(WIDTHS[kind] for kind in here) if here else 0.0 for here in kinds]
    left, at = [], MARGIN
    for index, width in enumerate(widths):
        left.append(at)
        at += width + (WORD_GAP if index == count - 2 else PLAIN_GAP)
    return left, widths


def _heads(graph: Graph, columns: Mapping[str, int], left: Sequence[float]) -> str:
    found = []
    for index, x in enumerate(left):
        kinds = {node.kind for node in graph.nodes if columns[node.name] == index}
        words = " and ".join(HEADS[kind].lower() for kind in HEADS if kind in kinds)
        found.append(svg.text(x, 14.0, words.capitalize(), font_weight="bold", opacity=0.75))
    return "".join(found)


def _line(
    edge: Edge, columns: Mapping[str, int], left: Sequence[float], widths: Sequence[float], placed: Placed
) -> str:
    first, last = columns[edge.start], columns[edge.end]
    heights = [height + TOP for height in placed.lines[edge.start, edge.end]]
    stops: list[tuple[float, float]] = []
    for index, column in enumerate(range(first, last)):
        stops.append((left[column] + (widths[column] if index == 0 else 0.0), heights[2 * index]))
        if index:  # straight through a column on the way
            stops[-1] = (left[column] + widths[column], heights[2 * index])
        stops.append((left[column + 1], heights[2 * index + 1]))
    end_x, end_y = stops[-1]
    stops[-1] = (end_x - 5.0, end_y)
    way = f"M{stops[0][0]:.1f} {stops[0][1]:.1f}"
    for number, ((x, y), (to_x, to_y)) in enumerate(pairwise(stops)):
        bend = (to_x - x) * (0.5 if not edge.says or number < len(stops) - 2 else 0.38)
        flat = f"L{to_x:.1f} {to_y:.1f}"
        way += (
            f"C{x + bend:.1f} {y:.1f} {to_x - (to_x - x) * 0.5:.1f} {to_y:.1f} {to_x:.1f} {to_y:.1f}"
            if number % 2 == 0
            else flat
        )
    line = svg.path(
        way, stroke_width=_STROKE.get(edge.says, 1.0), stroke_dasharray=_DASH.get(edge.says), opacity=_tone(edge)
    )
    head = f'<path d="M{end_x:.1f} {end_y:.1f}l-7 -3.5v7z" opacity="{_tone(edge)}"/>'
    return line + head


def _word(edge: Edge, x: float, placed: Placed) -> str:
    """What a line says, beside its end, on ground of its own so that no other line runs through it."""
    y = placed.lines[edge.start, edge.end][-1] + TOP
    return svg.text(x - 10, y + 3.5, edge.says, SMALL, text_anchor="end", **svg.GROUND)


def _tone(edge: Edge) -> float:
    return _GREY if edge.says in ("against", "rules out", "") else 0.95


def _box(node: Node, said: Sequence[tuple[str, bool]], x: float, placed: Placed) -> str:
    y, height, width = placed.top[node.name] + TOP, placed.height[node.name], WIDTHS[node.kind]
    shape = {
        "x": x,
        "y": y,
        "width": width,
        "height": height,
        "rx": 3.0 if node.kind == "rule" else 10.0,
        "fill": svg.PAPER,
        "stroke": "currentColor",
        "stroke-width": 2.6 if node.leads else 1.0,
        "stroke-dasharray": "4 3" if node.out else None,
        "opacity": _GREY if node.out else None,
    }
    size = svg.SIZE
    step = size * svg.LEADING
    top = y + (height - len(said) * step) / 2
    lines = "".join(
        svg.text(
            x + PAD, top + step * (row + 0.8), line, size, font_weight="bold" if strong else None,
            opacity=0.7 if node.out and not strong else None,
        )
        for row, (line, strong) in enumerate(said)
    )  # fmt: skip
    return f"<rect{svg.attributes(dict(shape))}/>{lines}"
