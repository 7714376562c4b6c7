"""The laying out of a graph in columns."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.layers import GAP, PORT, Box, Placed, place


@st.composite
def graphs(draw: st.DrawFn) -> tuple[list[Box], list[tuple[str, str]]]:
    """Boxes in columns, and some lines to later ones."""
    columns = draw(st.lists(st.integers(1, 5), min_size=1, max_size=5))
    boxes = [
        Box(f"{column}.{row}", column, draw(st.floats(10, 90)))
        for column, count in enumerate(columns)
        for row in range(count)
    ]
    pairs = [(one.name, two.name) for one in boxes for two in boxes if one.column < two.column]
    edges = draw(st.lists(st.sampled_from(pairs), unique=True, max_size=20)) if pairs else []
    return boxes, edges


def inside(placed: Placed, name: str, height: float) -> bool:
    """Whether a height lies on the side of a box."""
    return placed.top[name] - 1e-6 <= height <= placed.top[name] + placed.height[name] + 1e-6


@settings(max_examples=80, deadline=None)
@given(graphs())
def test_boxes_of_a_column_never_overlap(graph: tuple[list[Box], list[tuple[str, str]]]) -> None:
    """Between any two boxes of a column there is the gap, and nothing lies outside the picture."""
    boxes, edges = graph
    placed = place(boxes, edges)
    for one, two in itertools.combinations(boxes, 2):
        if one.column == two.column:
            first, second = sorted((one.name, two.name), key=placed.top.__getitem__)
            assert placed.top[first] + placed.height[first] + GAP <= placed.top[second] + 1e-6
    assert min(placed.top.values()) >= -1e-6
    assert max(placed.top[box.name] + placed.height[box.name] for box in boxes) <= placed.total + 1e-6


@settings(max_examples=80, deadline=None)
@given(graphs())
def test_every_line_begins_and_ends_at_its_boxes(graph: tuple[list[Box], list[tuple[str, str]]]) -> None:
    """A line leaves from the side of its first box and reaches that of its last, each in a place of its own."""
    boxes, edges = graph
    placed = place(boxes, edges)
    columns = {box.name: box.column for box in boxes}
    for start, end in edges:
        line = placed.lines[start, end]
        assert len(line) == 2 * (columns[end] - columns[start])
        assert inside(placed, start, line[0]) and inside(placed, end, line[-1])
    for name in {end for _, end in edges}:
        heights = sorted(line[-1] for (_, end), line in placed.lines.items() if end == name)
        assert all(two - one >= PORT - 1e-6 for one, two in itertools.pairwise(heights))


@settings(max_examples=80, deadline=None)
@given(graphs())
def test_lines_pass_beside_the_boxes(graph: tuple[list[Box], list[tuple[str, str]]]) -> None:
    """Where a line crosses a column on its way, no box of that column stands in it."""
    boxes, edges = graph
    placed = place(boxes, edges)
    columns = {box.name: box.column for box in boxes}
    for start, end in edges:
        for step, column in enumerate(range(columns[start] + 1, columns[end])):
            height = placed.lines[start, end][2 * step + 1]
            assert not any(inside(placed, box.name, height) for box in boxes if box.column == column)


def test_lines_that_need_not_cross_do_not() -> None:
    """Boxes given in a crossing order are put in one without crossings."""
    boxes = [Box(name, column, 20) for column, names in enumerate(("abc", "zyx")) for name in names]
    placed = place(boxes, [("a", "x"), ("b", "y"), ("c", "z")])
    left = sorted("abc", key=placed.top.__getitem__)
    right = sorted("xyz", key=placed.top.__getitem__)
    assert [dict(zip("abc", "xyz", strict=True))[name] for name in left] == right


def test_a_line_backwards_is_refused() -> None:
    """Findings come before what follows from them."""
    with pytest.raises(ValueError, match="later column"):
        place([Box("a", 0, 10), Box("b", 1, 10)], [("b", "a")])
