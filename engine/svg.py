"""Small pieces of SVG as text: escaped words, lines broken to a width, and the frame with its title and description."""

from __future__ import annotations

import re
from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

SIZE = 12.0  # user units of ordinary text
LEADING = 1.25
BOLD = 1.14  # how much wider bold words are
FONT = "system-ui, sans-serif"
PAPER = "Canvas"  # the colour of the page, light or dark
GROUND = {"paint-order": "stroke", "stroke": PAPER, "stroke-width": 5, "stroke-linejoin": "round"}
_NARROW, _WIDE = frozenset("fijlrtI.,:;'|!()[] "), frozenset("mwMWO@%—")
_SPACES = re.compile("[ \t\n\r]+")  # not the one that holds a figure and its unit together
_UNFIT = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")  # what XML 1.0 does not allow


def attributes(values: dict[str, object]) -> str:
    """Attributes of an element; numbers with at most one decimal, None left out."""
    return "".join(f" {name}={quoteattr(_value(value))}" for name, value in values.items() if value is not None)


def _value(value: object) -> str:
    return f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else _fit(str(value))


def _fit(text: str) -> str:
    return _UNFIT.sub("", text)


def words(text: str) -> str:
    """A text fit to stand between tags: nothing in it is markup, or a character that XML forbids."""
    return escape(_fit(" ".join(_SPACES.split(text.strip(" \t\n\r")))))


def width_of(text: str, size: float = SIZE) -> float:
    """About how wide a text is in a sans-serif face, rather more than less, in user units."""
    return size * sum(0.34 if one in _NARROW else 0.9 if one in _WIDE or ord(one) > 0x2000 else 0.6 for one in text)


def lines(text: str, width: float, size: float = SIZE, most: int = 6) -> list[str]:
    """A text in at most so many lines of a width; longer words are broken, and what is left over is cut with a mark."""
    found, line = [], ""
    for word in (part for whole in _SPACES.split(text.strip(" \t\n\r")) for part in _parts(whole, width, size)):
        longer = f"{line} {word}" if line else word
        if line and width_of(longer, size) > width:
            found.append(line)
            line = word
        else:
            line = longer
    found.append(line)
    if len(found) > most:
        last = found[most - 1]
        while last and width_of(f"{last} …", size) > width:
            last = last[:-1]
        found = [*found[: most - 1], f"{last.rstrip()} …"]
    return found


def _parts(word: str, width: float, size: float) -> Iterable[str]:
    part = ""
    for one in word:
        if part and width_of(part + one, size) > width:
            yield part
            part = ""
        part += one
    yield part


def text(x: float, y: float, said: str, size: float = SIZE, **more: object) -> str:
    """A line of text with its base line at y."""
    named = {name.replace("_", "-"): value for name, value in more.items()}
    return f"<text{attributes({'x': x, 'y': y, 'font-size': size, **named})}>{words(said)}</text>"


def block(x: float, top: float, said: Iterable[str], size: float = SIZE, **more: object) -> str:
    """Lines of text below each other, the first with its upper edge at `top`."""
    step = size * LEADING
    return "".join(text(x, top + step * (row + 0.8), line, size, **more) for row, line in enumerate(said))


def path(points: str, **more: object) -> str:
    """A line without filling."""
    named = {name.replace("_", "-"): value for name, value in more.items()}
    return f"<path{attributes({'d': points, 'fill': 'none', 'stroke': 'currentColor', **named})}/>"


def frame(name: str, width: float, height: float, title: str, says: str, body: str) -> str:
    """A whole picture. `name` makes its ids its own on the page; `says` tells in words what is to be seen."""
    top = {
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": f"0 0 {width:.0f} {height:.0f}",
        "width": f"{width:.0f}",
        "height": f"{height:.0f}",
        "role": "img",
        "aria-labelledby": f"{name}-title {name}-desc",
        "font-family": FONT,
        "fill": "currentColor",
    }
    head = f'<title id="{name}-title">{words(title)}</title><desc id="{name}-desc">{words(says)}</desc>'
    return f"<svg{attributes(dict(top))}>{head}{body}</svg>"
