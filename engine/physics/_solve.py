"""Two small numerical tools: a root by halving, and a value between tabulated points."""

from collections.abc import Callable, Sequence
from itertools import pairwise

_HALVINGS = 80  # enough to exhaust a double whatever the starting interval


def root_between(function: Callable[[float], float], low: float, high: float) -> float:
    """The point in [low, high] where an increasing `function` crosses zero; an end if it never does."""
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if function(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def between(points: Sequence[tuple[float, float]], x: float) -> float:
    """Straight-line interpolation in (x, y) points sorted by x; held constant beyond either end."""
    if x <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]
