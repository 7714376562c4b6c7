"""The colour of the light: chromaticity, colour temperature, the white fields, and a name for a shift."""

import math
from dataclasses import dataclass, replace

from engine.physics._check import within

Xy = tuple[float, float]


@dataclass(frozen=True)
class Edge:
    """Inside is a x + b y + c >= 0; beyond it lies `colour`. It bounds the field from `from_x` up to `to_x`."""

    colour: str
    a: float
    b: float
    c: float
    from_x: float = 0.0
    to_x: float = 1.0


@dataclass(frozen=True)
class Field:
    """A field of permitted colours, by its edges."""

    name: str
    edges: tuple[Edge, ...]


_BLUE_END, _YELLOW_END = (1.0, 0.0), (-1.0, 0.0)
_GREEN, _PURPLE = Edge("green", 0.640, -1.0, 0.150), Edge("purple", -0.750, 1.0, -0.050)
# White of discharge sources, UN R99 (from memory): objective point x = y = 0.375.
SOURCE_WHITE = Field(
    "white of a discharge source",
    (Edge("blue", *_BLUE_END, -0.345), Edge("yellow", *_YELLOW_END, 0.405), _GREEN, _PURPLE),
)
_RED_FROM = 0.332 / 0.750  # where the purple edge reaches y = 0.382 and the red edge takes over
# White of road lamps, UN R48 (from memory).
ROAD_WHITE = Field(
    "white of a road lamp",
    (
        Edge("blue", *_BLUE_END, -0.310),
        Edge("yellow", *_YELLOW_END, 0.500),
        _GREEN,
        Edge("green", 0.0, -1.0, 0.440),
        replace(_PURPLE, to_x=_RED_FROM),
        Edge("red", 0.0, 1.0, -0.382, from_x=_RED_FROM),
    ),
)
_ON_EDGE = 1e-9


def _checked(xy: Xy) -> Xy:
    x = within("Chromaticity x", xy[0], 0.0, 0.75)
    y = within("Chromaticity y", xy[1], 0.01, 0.85)
    if x + y > 1:
        raise ValueError(f"Chromaticities x and y cannot add to more than 1 ({x:g} + {y:g})")
    return x, y


def beyond(xy: Xy, field: Field) -> tuple[str, ...]:
    """The edges of `field` that (x, y) lies beyond, by colour; empty if inside. ValueError if no such colour exists."""
    x, y = _checked(xy)
    crossed = (e.colour for e in field.edges if e.from_x <= x <= e.to_x and e.a * x + e.b * y + e.c < -_ON_EDGE)
    return tuple(dict.fromkeys(crossed))


def colour_temperature(xy: Xy) -> float:
    """Correlated colour temperature in K of a near-white (x, y), by McCamy's cubic (1992), 2000 to 12500 K.

    ValueError where the notion ends: more than 0.05 in u, v from the glowing-body line (CIE 15, from memory).
    """
    x, y = _checked(xy)
    if abs(0.1858 - y) > 1e-6:
        n = (x - 0.3320) / (0.1858 - y)
        kelvin = 449.0 * n**3 + 3525.0 * n**2 + 6823.3 * n + 5520.33
        if 1667 <= kelvin <= 25000 and math.dist(_uv((x, y)), _uv(glowing_body(kelvin))) <= 0.05:
            return kelvin
    raise ValueError("This colour is too far from white to have a colour temperature")


def _uv(xy: Xy) -> Xy:
    """CIE 1960 u, v, in which equal distances look about alike."""
    under = -2 * xy[0] + 12 * xy[1] + 3
    return 4 * xy[0] / under, 6 * xy[1] / under


def glowing_body(kelvin: float) -> Xy:
    """Chromaticity of a glowing (black) body at `kelvin` (1667 to 25000 K), by the cubic fit of Kim et al. (2002)."""
    within("The colour temperature", kelvin, 1667, 25000, "K")
    t = 1e3 / kelvin
    if kelvin <= 4000:
        x = -0.2661239 * t**3 - 0.2343589 * t**2 + 0.8776956 * t + 0.179910
    else:
        x = -3.0258469 * t**3 + 2.1070379 * t**2 + 0.2226347 * t + 0.240390
    if kelvin <= 2222:
        y = -1.1063814 * x**3 - 1.34811020 * x**2 + 2.18555832 * x - 0.20219683
    elif kelvin <= 4000:
        y = -0.9549476 * x**3 - 1.37418593 * x**2 + 2.09137015 * x - 0.16748867
    else:
        y = 3.0817580 * x**3 - 5.87338670 * x**2 + 3.75112997 * x - 0.37001483
    return x, y


def shift(before: Xy, after: Xy, noticeable: float = 0.006) -> tuple[str, ...]:
    """Words for a shift of light from `before` to `after`: bluer or yellower, pinker or greener; empty if unseen.

    Along the line of whites x tells blue from yellow; across it, y against the line's own course tells pink from
    green. `noticeable` (in x and y) is about what two lamps side by side betray (common practice, no source).
    """
    (x0, y0), (x1, y1) = _checked(before), _checked(after)
    dx = x1 - x0
    slope = 0.64  # of the upper edge of the white field, which runs along the line of white
    across = (y1 - y0) - slope * dx
    words = []
    if abs(dx) >= noticeable:
        words.append("yellower" if dx > 0 else "bluer")
    if abs(across) >= noticeable:
        words.append("greener" if across > 0 else "pinker")
    return tuple(words)


def look(kelvin: float) -> str:
    """How light of `kelvin` (1500 to 25000 K) looks to an eye used to headlamps (common practice, no source)."""
    within("The colour temperature", kelvin, 1500, 25000, "K")
    steps = ((2700, "orange"), (3500, "yellowish white"), (4900, "white"), (6500, "cold white"), (math.inf, "bluish"))
    return next(word for top, word in steps if kelvin < top)
