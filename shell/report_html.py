"""A written report as one self-contained HTML page: no script, nothing fetched, every text escaped."""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from shell.output import clean
from shell.sections import Paper, Picture


@cache
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("shell", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["drawn"] = _drawn
    environment.filters["sort_of"] = lambda block: type(block).__name__.lower()
    return environment.get_template("report.html.j2")


def _drawn(picture: Picture) -> Markup:
    """A picture as it is: its own module has escaped every text in it."""
    return Markup(picture.svg)


def html(paper: Paper) -> str:
    """The report as a page of HTML."""
    # a figure and its per cent stay on one line
    return clean(_template().render(paper=paper)).replace(" %", "\u00a0%")
