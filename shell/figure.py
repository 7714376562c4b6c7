"""The command `figure`: the physics of the lamp circuit by hand, as text, JSON or a printable wall."""

import argparse
import json
import math
import shutil
import textwrap
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from engine import figures, meter_figures
from engine.figures import FeedReadings, Figure, Item, Wire
from engine.physics import aim, feed, filament, units
from engine.physics.ballast import nearest_kind
from engine.problems import KnowledgeError
from engine.tables import AimRule, LightSource, Tables
from shell import drawing, wall
from shell.bases import base_of
from shell.output import complain, say
from shell.tables_at_hand import shipped_tables
from shell.tables_at_hand import tables as at_hand


@dataclass(frozen=True)
class Option:
    """A quantity on the command line: its flag, kind (a unit, or one that `--units` decides), default and meaning."""

    flag: str
    kind: str
    default: str | None
    meaning: str


NUMBER = "number"  # of no unit
_SOURCE = "category of the light source, as marked on it"
_WIRE = (
    Option("length", "distance", "4 m", "length of the wire, one way"),
    Option("section", "section", "1.5 mm2", "section of the wire, mm2 or AWG"),
    Option("temperature", "temperature", "20 C", "temperature of the wire"),
)
OPTIONS: dict[str, tuple[Option, ...]] = {
    "feed": (
        Option("open", "V", "12.6 V", "volts at the lamp's plug with nothing drawn"),
        Option("loaded", "V", "12.2 V", "volts at the lamp's plug, lamp lit"),
        Option("battery", "V", None, "volts at the battery's posts, lamp lit, to leave its own sag out"),
        Option("current", "A", None, "current that flows, if measured"),
        Option("earth-drop", "V", None, "volts from the lamp's earth pin to battery negative, lit"),
        *_WIRE,
    ),
    "fuse": (
        Option("rating", "A", "10 A", "rating printed on the fuse"),
        Option("current", "A", None, "current through it; unless given, what the light source draws"),
        Option("volts", "V", "13.2 V", "volts at the light source"),
    ),
    "filament": (Option("volts", "V", "12 V", "volts at the light source"),),
    "ballast": (
        Option("supply", "V", "12.4 V", "volts at the battery"),
        Option("joint", "ohm", "0 ohm", "resistance of joints beside the wire"),
        *_WIRE,
    ),
    "runup": (Option("full-after", "s", "8 s", "seconds from the strike until the light no longer grows"),),
    "aim": (
        Option("height", "height", "65 cm", "height of the lamp, as the rule measures it"),
        Option("distance", "distance", "10 m", "from lamp to wall"),
        Option("cutoff", "height", None, "height of the cut-off found on the wall"),
        Option("target", "%", None, "setting on the vehicle's plate, per cent down"),
        Option("spacing", "distance", "1.2 m", "from lamp to lamp, for the drawing"),
    ),
    "dew": (
        Option("air", "temperature", "15 C", "air by day"),
        Option("humidity", "%", "70 %", "relative humidity by day"),
        Option("night", "temperature", "5 C", "coldest in the night"),
    ),
    "pwm": (
        Option("volts", "V", "13.6 V", "volts while it is on: the battery's, engine running"),
        Option("duty", "%", "80 %", "share of the time that it is on"),
    ),
    "colour": (
        Option("x", NUMBER, "0.38", "chromaticity x of the light"),
        Option("y", NUMBER, "0.39", "chromaticity y of the light"),
        Option("other-x", NUMBER, None, "chromaticity x of the light beside it"),
        Option("other-y", NUMBER, None, "chromaticity y of the light beside it"),
    ),
}
_HELP = {
    "feed": "resistance in feed and earth, where it sits, the light it costs",
    "fuse": "does a fuse carry this, and when does it open",
    "filament": "current, light, life and resistance at a voltage",
    "ballast": "does a ballast strike and burn behind this wire",
    "runup": "seconds to full light against the regulation",
    "aim": "where the cut-off belongs on a wall, and how far off it is",
    "dew": "will a lens mist tonight, and when does it clear",
    "pwm": "what a meter shows on a pulsed feed, and what the lamp gets",
    "colour": "is this white, how warm, and how it differs from the other side",
}


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add `figure` and its sub-commands to a program's parser."""
    parser = subparsers.add_parser("figure", help="work out a number of the lamp circuit by hand")
    kinds = parser.add_subparsers(dest="figure", required=True, metavar="FIGURE")
    for name, options in OPTIONS.items():
        sub = kinds.add_parser(name, help=_HELP[name], description=_HELP[name].capitalize() + ".")
        for option in options:
            given = f" (default: {option.default})" if option.default else ""
            # A percent sign in help is a format mark to argparse.
            words = (option.meaning + given).replace("%", "%%")
            sub.add_argument(f"--{option.flag}", default=option.default, metavar="N", help=words)
        _extras(name, sub)
        sub.add_argument("--units", choices=("metric", "imperial"), default="metric", help="units to read and write")
        sub.add_argument("--json", action="store_true", help="write JSON")
        sub.set_defaults(func=run)


def _extras(name: str, sub: argparse.ArgumentParser) -> None:
    if name in ("feed", "fuse", "filament"):
        sub.add_argument("--source", default="H7", help=f"{_SOURCE} (default: H7)")
        sub.add_argument("--beam", default="", help="main or dipped, for a source with two")
    if name in ("ballast", "runup"):
        sub.add_argument("--source", default="D2S", help=f"{_SOURCE} (default: D2S)")
    if name in ("feed", "ballast"):
        sub.add_argument("--return-wire", action="store_true", help="the earth side is a wire as long as the feed")
    if name == "feed":
        where = "NAME=VOLTS to battery negative, lamp lit; repeat in order, from"
        sub.add_argument("--point", action="append", default=[], metavar="NAME=V", help=f"{where} battery to lamp")
        words = f"{where} lamp to battery"
        sub.add_argument("--earth-point", action="append", default=[], metavar="NAME=V", help=words)
    if name == "fuse":
        sub.add_argument("--build", default="standard", help="mini, standard or high-current (default: standard)")
    if name == "aim":
        sub.add_argument("--rule", default="un-r48", help="aim rule of the tables (default: un-r48)")
        sub.add_argument("--traffic", choices=("right", "left"), default="right", help="side of the road driven on")
        sub.add_argument("--svg", metavar="FILE", help="draw the wall to scale as SVG")
        sub.add_argument("--pdf", metavar="FILE", help="draw the wall to scale as PDF")
    if name == "dew":
        sub.add_argument("--cloudy", action="store_true", help="cloudy or windy night: the lens cools less")


def run(args: argparse.Namespace) -> int:
    """Compute and show the figure asked for. 0 when shown, 2 when a number or name does not do."""
    try:
        values = _values(args)
        tables = at_hand(base_of(args)) if args.base or args.layers else shipped_tables()
        figure = _COMPUTE[args.figure](args, values, tables)
        drawn = _draw(args, values, tables) if args.figure == "aim" else []
    except KnowledgeError as problem:
        complain(str(problem))
        return 2
    except ValueError as problem:
        complain(f"{problem}.")
        return 2
    except OSError as problem:
        complain(f"The drawing could not be written: {problem.strerror or problem}.")
        return 2
    except ImportError:
        complain("A PDF needs the package fpdf2: pip install 'lampwright[pdf]'. Or draw with --svg, and print that.")
        return 2
    _show(figure, args.json)
    for path in drawn:
        (complain if args.json else say)(f"Wall drawn: {path}")
    return 0


def _values(args: argparse.Namespace) -> dict[str, float | None]:
    """The quantities of the command, in the program's own units."""
    values: dict[str, float | None] = {}
    for option in OPTIONS[args.figure]:
        text = getattr(args, option.flag.replace("-", "_"))
        try:
            values[option.flag] = None if text is None else _read(text, option.kind, args.units)
        except ValueError as problem:
            raise ValueError(f"--{option.flag} {text}: {problem}") from None
    return values


def _read(text: str, kind: str, system: str) -> float:
    if kind != NUMBER:
        return units.parse(text, units.preferred(kind, system))
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise ValueError("give a plain number, such as 0.38") from None


Values = dict[str, float | None]


def _number(values: Values, name: str) -> float:
    value = values[name]
    if value is None:
        raise ValueError(f"--{name} is needed")
    return value


def _source(args: argparse.Namespace, tables: Tables, kind: str) -> LightSource:
    row = tables.light_source(args.source)
    if row.kind != kind:
        raise ValueError(f"{args.source} is a {row.kind} source; this figure is for a {kind} source")
    return row


def _wire(args: argparse.Namespace, values: Values, tables: Tables) -> Wire:
    per_metre = tables.cable_per_metre(_number(values, "section"))
    return Wire(per_metre, _number(values, "length"), _number(values, "temperature"), args.return_wire)


def _points(texts: list[str], option: str) -> list[feed.Point]:
    found = []
    for text in texts:
        name, equals, volts = text.partition("=")
        if not equals or not name.strip():
            raise ValueError(f"--{option} {text}: give a name and volts, such as plug=11.4")
        found.append(feed.Point(name.strip(), units.parse(volts, "V")))
    return found


def _feed(args: argparse.Namespace, values: Values, tables: Tables) -> Figure:
    row = tables.light_source(args.source)
    earth = _points(args.earth_point, "earth-point")
    if earth and earth[-1].volts > 0:
        earth.append(feed.Point("battery negative", 0.0))
    read = FeedReadings(
        _number(values, "open"),
        _number(values, "loaded"),
        row.filament(args.beam) if row.kind == "filament" else nearest_kind(row.output().watts),
        battery=values["battery"],
        current=values["current"],
        earth_drop=values["earth-drop"],
        points=tuple(_points(args.point, "point")),
        earth_points=tuple(earth),
        wire=_wire(args, values, tables),
    )
    return figures.feed_figure(read)


def _fuse(args: argparse.Namespace, values: Values, tables: Tables) -> Figure:
    if args.build not in tables.fuse_types:
        raise ValueError(f"--build {args.build}: known builds are {', '.join(tables.fuse_types)}")
    current = values["current"]
    if current is None:
        current = filament.current(_source(args, tables, "filament").filament(args.beam), _number(values, "volts"))
    rating = _number(values, "rating")
    row = next((fuse for fuse in tables.fuses.values() if fuse.rating == rating), None)
    cold = row.cold_milliohm / 1e3 if row and row.cold_milliohm and args.build != "high-current" else None
    return figures.fuse_figure(rating, current, tables.fuse_types[args.build].times, cold, args.build)


def _filament(args: argparse.Namespace, values: Values, tables: Tables) -> Figure:
    row = _source(args, tables, "filament")
    return figures.filament_figure(row.filament(args.beam), _number(values, "volts"), row.output(args.beam).flux)


def _ballast(args: argparse.Namespace, values: Values, tables: Tables) -> Figure:
    kind = nearest_kind(_source(args, tables, "discharge").output().watts)
    wire = _wire(args, values, tables)
    return figures.ballast_figure(kind, _number(values, "supply"), wire, _number(values, "joint"))


def _runup(args: argparse.Namespace, values: Values, tables: Tables) -> Figure:
    flux = _source(args, tables, "discharge").output().flux
    return figures.runup_figure(_number(values, "full-after"), flux or 3200.0)


def _rule(args: argparse.Namespace, values: Values, tables: Tables) -> tuple[AimRule, aim.Step, float]:
    """The aim rule, its step for this lamp, and the setting: the plate's (always down, however typed) or the rule's."""
    if args.rule not in tables.aim_rules:
        raise ValueError(f"--rule {args.rule}: known rules are {', '.join(tables.aim_rules)}")
    rule = tables.aim_rules[args.rule]
    step = aim.step_for(rule.bands, _number(values, "height"))
    target = values["target"]
    return rule, step, aim.middle(step.initial) if target is None else -abs(target)


def _aim(args: argparse.Namespace, values: Values, tables: Tables) -> Figure:
    _, step, target = _rule(args, values, tables)
    height, distance = _number(values, "height"), _number(values, "distance")
    return figures.aim_figure(height, distance, step, values["cutoff"], target, args.units)


def _dew(args: argparse.Namespace, values: Values, tables: Tables) -> Figure:
    air, humidity, night = (_number(values, name) for name in ("air", "humidity", "night"))
    return figures.dew_figure(air, humidity, night, not args.cloudy, system=args.units)


def _pwm(args: argparse.Namespace, values: Values, tables: Tables) -> Figure:
    return meter_figures.pwm_figure(_number(values, "volts"), _number(values, "duty"))


def _colour(args: argparse.Namespace, values: Values, tables: Tables) -> Figure:
    found = (_number(values, "x"), _number(values, "y"))
    alone = values["other-x"] is None and values["other-y"] is None
    other = None if alone else (_number(values, "other-x"), _number(values, "other-y"))
    return meter_figures.colour_figure(found, other)


_COMPUTE: dict[str, Callable[[argparse.Namespace, Values, Tables], Figure]] = {
    "feed": _feed,
    "fuse": _fuse,
    "filament": _filament,
    "ballast": _ballast,
    "runup": _runup,
    "aim": _aim,
    "dew": _dew,
    "pwm": _pwm,
    "colour": _colour,
}


def _draw(args: argparse.Namespace, values: Values, tables: Tables) -> list[str]:
    if not (args.svg or args.pdf):
        return []
    rule, step, target = _rule(args, values, tables)
    height, distance, spacing = (_number(values, name) for name in ("height", "distance", "spacing"))
    page = wall.draw(
        wall.Wall(height, distance, step, target, values["cutoff"], spacing, args.traffic, args.units, rule.title)
    )
    if args.svg:
        drawing.write_svg(page, Path(args.svg))
    if args.pdf:
        drawing.write_pdf(page, Path(args.pdf))
    return [path for path in (args.svg, args.pdf) if path]


def _written(item: Item) -> str:
    return units.show_time(item.value) if item.unit == "s" else units.show(item.value, item.unit)


def _show(figure: Figure, as_json: bool) -> None:
    if as_json:
        say(json.dumps(_plain(figure), indent=2, ensure_ascii=False))
        return
    wide = max((len(item.label) for item in figure.items), default=0)
    for item in figure.items:
        say(f"  {item.label:<{wide}}  {_written(item)}")
    width = min(shutil.get_terminal_size().columns, 100)
    for mark, lines in (("", figure.says), ("Mind: ", figure.mind)):
        say()
        for line in lines:
            say(textwrap.fill(mark + line, width))


def _plain(figure: Figure) -> dict[str, object]:
    """The figure for a machine: numbers in the units named beside them, null where there is no limit."""
    values = {}
    for item in figure.items:
        number = units.unit(item.unit).outward(item.value)
        values[item.key] = {"value": number if math.isfinite(number) else None, "unit": item.unit, "label": item.label}
    return {"figure": figure.name, "values": values, "says": list(figure.says), "mind": list(figure.mind)}
