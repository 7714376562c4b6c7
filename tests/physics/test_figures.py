"""The command `figure`: what it shows, refuses and draws."""

import argparse
import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from shell import figure


def run(*words: str) -> int:
    """Run `figure` as from the command line; argparse's own refusals come back as their exit code."""
    parser = argparse.ArgumentParser()
    parser.set_defaults(base=None, layers=[])  # the options of the whole program
    figure.add_to(parser.add_subparsers(required=True))
    try:
        args = parser.parse_args(["figure", *words])
    except SystemExit as leaving:
        return int(leaving.code or 0)
    return int(args.func(args))


@pytest.mark.parametrize("name", figure.OPTIONS)
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_every_figure_works_on_its_defaults(name: str, system: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Without any number given, each figure shows something, in both systems."""
    assert run(name, "--units", system) == 0
    assert len(capsys.readouterr().out.splitlines()) > 4


@pytest.mark.parametrize("name", figure.OPTIONS)
def test_json_is_json(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The machine form parses and carries values with units."""
    assert run(name, "--json") == 0
    read = json.loads(capsys.readouterr().out)
    assert read["figure"] == name
    assert all({"value", "unit", "label"} == set(item) for item in read["values"].values())


def test_dim_halogen_lamp(capsys: pytest.CaptureFixture[str]) -> None:
    """12.4 V open, 10.9 V loaded: the resistance, that it is not in the lamp, and the light lost."""
    assert run("feed", "--open", "12.4", "--loaded", "10,9 V") == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "0.4 ohm between battery and lamp plug" in shown
    assert "not in the lamp" in shown
    assert "about a third is gone" in shown


def test_readings_along_the_chain_name_the_place(capsys: pytest.CaptureFixture[str]) -> None:
    """With points on both sides, the bad stretch is named, here on the earth side."""
    feed = ["--point", "battery=12.4", "--point", "plug=12.2"]
    earth = ["--earth-point", "lamp earth=1.3", "--earth-point", "body=1.25"]
    assert run("feed", "--open", "12.4", "--loaded", "10.9", *feed, *earth) == 0
    assert "between body and battery negative" in " ".join(capsys.readouterr().out.split())


def test_feed_of_a_ballast_is_judged_by_its_strike(capsys: pytest.CaptureFixture[str]) -> None:
    """A ballast burning on 11 V of 12.4 V keeps its light; the 0.34 ohm in the way are too much for its strike."""
    assert run("feed", "--source", "D2S", "--open", "12.4", "--loaded", "11") == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "0.34 ohm between battery" in shown
    assert "its strike does not bear this" in shown
    assert "light lost" not in shown


def test_no_loss_raises_the_question_whether_current_flows(capsys: pytest.CaptureFixture[str]) -> None:
    """Open and loaded alike: all is well, or nothing is drawn; the figure says so instead of clearing the feed."""
    assert run("feed", "--open", "12.4", "--loaded", "12.4") == 0
    shown = capsys.readouterr().out
    assert "Nothing is lost" in shown
    assert "Make sure that current flows" in " ".join(shown.split())


def test_battery_sag_is_not_blamed_on_the_wire(capsys: pytest.CaptureFixture[str]) -> None:
    """A battery that sags by 1.2 V under load leaves 0.3 V to the circuit."""
    assert run("feed", "--open", "12.4", "--loaded", "10.9", "--battery", "11.2", "--json") == 0
    assert json.loads(capsys.readouterr().out)["values"]["lost"]["value"] == pytest.approx(0.3)


def test_ballast_collapses_although_the_meter_shows_battery_volts(capsys: pytest.CaptureFixture[str]) -> None:
    """A thin long feed: battery volts at rest, collapse on strike, and what resistance it could bear."""
    assert run("ballast", "--supply", "12.4", "--length", "6 m", "--section", "0.5", "--return-wire") == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "At rest a meter shows 12.4 V" in shown
    assert "It collapses on strike" in shown
    assert "second, unstable point" in shown


def test_flat_battery_is_not_blamed_on_the_feed(capsys: pytest.CaptureFixture[str]) -> None:
    """Under the ballast's floor no feed can help: the battery comes first."""
    assert run("ballast", "--supply", "8.5") == 0
    shown = capsys.readouterr().out
    assert "charge the battery first" in shown
    assert "Bring feed and earth" not in shown


def test_a_setting_outside_the_rule_is_questioned(capsys: pytest.CaptureFixture[str]) -> None:
    """A level beam does not fit the rule; the figure says so and still computes."""
    assert run("aim", "--target", "0") == 0
    assert "outside the limits of the rule" in " ".join(capsys.readouterr().out.split())


def test_imperial_reads_and_writes_inches(capsys: pytest.CaptureFixture[str]) -> None:
    """Bare numbers are inches and feet, and so are the answers."""
    assert run("aim", "--units", "imperial", "--height", "26", "--distance", "25", "--target", "1") == 0
    assert "23 in" in capsys.readouterr().out


def test_a_setting_is_always_down(capsys: pytest.CaptureFixture[str]) -> None:
    """The plate's 1.2 per cent and a typed -1.2 % mean the same."""
    assert run("aim", "--target", "1.2", "--json") == 0
    plain = capsys.readouterr().out
    assert run("aim", "--target=-1.2%", "--json") == 0
    assert capsys.readouterr().out == plain


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["feed", "--open", "x"], "--open x: Give a number"),
        (["feed", "--open", "12", "--loaded", "13"], "above the open one"),
        (["feed", "--point", "plug"], "give a name and volts"),
        (["filament", "--source", "h77"], 'did you mean "H7"?'),
        (["filament", "--source", "D1S"], "is a discharge source"),
        (["filament", "--beam", "main"], "no beam 'main'"),
        (["fuse", "--build", "glass"], "known builds are"),
        (["aim", "--rule", "none"], "known rules are"),
        (["aim", "--svg", "/no/such/folder/wall.svg"], "could not be written"),
        (["ballast", "--length", "5 V"], "V measures voltage; this takes a length"),
    ],
)
def test_bad_input_is_answered_in_a_sentence(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2, what to do on the error stream, nothing on the other."""
    assert run(*words) == 2
    told = capsys.readouterr()
    assert said in told.err
    assert "Traceback" not in told.err
    assert told.out == ""


def test_wall_is_drawn_to_scale(tmp_path: Path) -> None:
    """In the SVG the lamp crosses are 1.2 m apart at 1 : 10, the cut-off 12 cm below them, on a true page."""
    path = tmp_path / "wall.svg"
    assert run("aim", "--target", "1.2", "--svg", str(path)) == 0
    root = ET.fromstring(path.read_text(encoding="utf-8"))
    assert (root.get("width"), root.get("height")) == ("297mm", "210mm")
    lines = [
        [tuple(map(float, point.split(","))) for point in line.get("points", "").split()]
        for line in root.iter("{http://www.w3.org/2000/svg}polyline")
    ]
    cutoffs = [points for points in lines if len(points) == 3]
    (left, right) = (points[1] for points in cutoffs)
    assert right[0] - left[0] == pytest.approx(120, abs=0.02)
    ground = max(y for points in lines for _, y in points if len(points) == 2 and points[0][0] == 12 and y < 165)
    assert ground - left[1] == pytest.approx(53, abs=0.02)


def test_wall_turns_with_the_side_of_the_road(tmp_path: Path) -> None:
    """The rise of the cut-off is on the near side: right where one drives right, left where left."""
    seen = {}
    for traffic in ("right", "left"):
        path = tmp_path / f"{traffic}.svg"
        assert run("aim", "--traffic", traffic, "--svg", str(path)) == 0
        root = ET.fromstring(path.read_text(encoding="utf-8"))
        points = next(p for line in root.iter() if len(p := line.get("points", "").split()) == 3)
        middle, end = (float(point.split(",")[0]) for point in points[1:])
        seen[traffic] = end > middle
    assert seen == {"right": True, "left": False}


def test_wall_prints_as_pdf(tmp_path: Path) -> None:
    """The PDF is one A4 page across."""
    pytest.importorskip("fpdf")
    path = tmp_path / "wall.pdf"
    assert run("aim", "--cutoff", "50", "--pdf", str(path)) == 0
    written = path.read_bytes()
    assert written.startswith(b"%PDF-")
    assert b"841.89 595.28" in written


def test_a_wall_that_does_not_fit_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Lamps 40 m apart fit on no page."""
    assert run("aim", "--spacing", "40 m", "--svg", str(tmp_path / "wall.svg")) == 2
    assert "too far apart" in capsys.readouterr().err


def test_a_pulsed_feed_shows_less_on_a_meter_than_it_does(capsys: pytest.CaptureFixture[str]) -> None:
    """14.4 V on for 84 %: 14.4 * 0.84 = 12.1 V shown, 14.4 * sqrt(0.84) = 13.2 V at work (worked by hand)."""
    assert run("pwm", "--volts", "14.4", "--duty", "84", "--json") == 0
    values = json.loads(capsys.readouterr().out)["values"]
    assert values["shown"]["value"] == pytest.approx(12.096, abs=1e-3)
    assert values["effective"]["value"] == pytest.approx(13.198, abs=1e-3)


def test_a_colour_is_named_by_field_and_neighbour(capsys: pytest.CaptureFixture[str]) -> None:
    """The objective white of UN R99 (x = y = 0.375, from memory) is white; a purple one beside it is called pinker."""
    assert run("colour", "--x", "0.375", "--y", "0.375") == 0
    assert "within the field" in capsys.readouterr().out
    assert run("colour", "--x", "0.375", "--y", "0.32", "--other-x", "0.375", "--other-y", "0.375") == 0
    text = capsys.readouterr().out
    assert "too purple" in text and "pinker" in text


@pytest.mark.parametrize("line", ["colour --x blue", "colour --other-x 0.3", "colour --x 0.9 --y 0.9", "pwm --duty 0"])
def test_a_colour_or_duty_that_cannot_be_is_refused(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Code 2 and a sentence."""
    assert run(*line.split()) == 2
    assert len(capsys.readouterr().err) > 20
