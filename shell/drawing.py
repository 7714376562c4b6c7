"""A flat drawing in millimetres, written as SVG or PDF."""

from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import TypeAlias


@dataclass(frozen=True)
class Line:
    """A line through points (mm); `dash` is a dash length in mm, 0 for a full line."""

    points: tuple[tuple[float, float], ...]
    width: float = 0.3
    dash: float = 0.0
    grey: int = 0


@dataclass(frozen=True)
class Box:
    """A filled box without outline; `grey` from 0 (black) to 255 (white)."""

    x: float
    y: float
    width: float
    height: float
    grey: int = 230


@dataclass(frozen=True)
class Text:
    """A line of text on the baseline (x, y); `anchor` is start, middle or end."""

    x: float
    y: float
    words: str
    size: float = 3.4
    anchor: str = "start"


Shape: TypeAlias = Line | Box | Text


@dataclass(frozen=True)
class Drawing:
    """Shapes on a page of `width` by `height` mm, origin at the top left."""

    width: float
    height: float
    title: str
    shapes: tuple[Shape, ...]


def _svg(shape: Shape) -> str:
    if isinstance(shape, Box):
        grey = f"rgb({shape.grey},{shape.grey},{shape.grey})"
        size = f'width="{shape.width:.2f}" height="{shape.height:.2f}"'
        return f'<rect x="{shape.x:.2f}" y="{shape.y:.2f}" {size} fill="{grey}"/>'
    if isinstance(shape, Line):
        points = " ".join(f"{x:.2f},{y:.2f}" for x, y in shape.points)
        dash = f' stroke-dasharray="{shape.dash:g}"' if shape.dash else ""
        grey = f"rgb({shape.grey},{shape.grey},{shape.grey})"
        return f'<polyline points="{points}" fill="none" stroke="{grey}" stroke-width="{shape.width:g}"{dash}/>'
    place = f'x="{shape.x:.2f}" y="{shape.y:.2f}" font-size="{shape.size:g}" text-anchor="{shape.anchor}"'
    return f"<text {place}>{escape(shape.words)}</text>"


def to_svg(drawing: Drawing) -> str:
    """The drawing as an SVG document whose printed size is true."""
    width, height = f"{drawing.width:g}", f"{drawing.height:g}"
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" font-family="sans-serif">'
    )
    body = "\n".join(_svg(shape) for shape in drawing.shapes)
    return f"{head}\n<title>{escape(drawing.title)}</title>\n{body}\n</svg>\n"


def write_svg(drawing: Drawing, path: Path) -> None:
    """Write the drawing to `path`. OSError if that cannot be done."""
    path.write_text(to_svg(drawing), encoding="utf-8")


def write_pdf(drawing: Drawing, path: Path) -> None:
    """Write the drawing to `path` as a one-page PDF. ImportError without fpdf2, OSError if it cannot be written."""
    from fpdf import FPDF  # only a printed wall needs it

    pdf = FPDF(unit="mm", format=(min(drawing.width, drawing.height), max(drawing.width, drawing.height)))
    pdf.set_title(drawing.title)
    pdf.set_auto_page_break(False)
    pdf.add_page(orientation="landscape" if drawing.width > drawing.height else "portrait")
    for shape in drawing.shapes:
        if isinstance(shape, Box):
            pdf.set_fill_color(shape.grey)
            pdf.rect(shape.x, shape.y, shape.width, shape.height, style="F")
        elif isinstance(shape, Line):
            pdf.set_draw_color(shape.grey)
            pdf.set_line_width(shape.width)
            pdf.set_dash_pattern(dash=shape.dash, gap=shape.dash)
            pdf.polyline(list(shape.points))
        else:
            pdf.set_font("helvetica", size=shape.size * 72 / 25.4)
            wide = pdf.get_string_width(shape.words)
            left = {"start": 0.0, "middle": wide / 2, "end": wide}[shape.anchor]
            pdf.text(shape.x - left, shape.y, shape.words)
    pdf.output(str(path))
