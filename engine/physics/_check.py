"""Range checks that say in plain words what is accepted."""

import math


def within(what: str, value: float, low: float, high: float, unit: str = "") -> float:
    """Return `value` if low <= value <= high, else raise ValueError naming the accepted range."""
    if math.isfinite(value) and low <= value <= high:
        return value
    tail = f" {unit}" if unit else ""
    raise ValueError(f"{what} must lie between {low:g} and {high:g}{tail}, not {value:g}")
