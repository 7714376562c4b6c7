"""The pictures of the report: well formed, told in words too, inert, and with nothing outside their frame."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine import picture, plot, svg
from engine.argument import Graph, Node, argue
from engine.odds import Odds, Point
from engine.session import Answer, Session
from shell.words import percent
from tests.report.jobs import report
from tests.shipped import shipped_base
from tests.small import small_base

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = "<script>alert(1)</script>\x1b[31m\x00 & \" ' ]]> \ud7ff " + "W" * 400


def told(**answers: str) -> Session:
    """A job on the small base; underscores stand for hyphens."""
    session = Session(small_base()).answer("kind", Answer("lamp")).answer("complaint", Answer("dead"))
    for name, outcome in answers.items():
        session = session.answer(name.replace("_", "-"), Answer(outcome))
    return session


def parts(drawn: str) -> tuple[ElementTree.Element, list[str]]:
    """The picture read as XML, and its texts."""
    root = ElementTree.fromstring(drawn)
    return root, ["".join(one.itertext()) for one in root.iter(f"{SVG}text")]


@pytest.mark.parametrize("which", ["graph", "odds"])
def test_a_picture_has_a_title_and_a_description_it_points_to(which: str) -> None:
    """A screen reader finds what the picture shows, in words, by ids that are the picture's own."""
    one = report()
    drawn = (
        picture.draw(one.searches[0].graph, "mine", percent)
        if which == "graph"
        else plot.draw(one.odds, "mine", percent)
    )
    root, texts = parts(drawn)
    ids = {child.get("id"): child.text for child in root if child.tag in (f"{SVG}title", f"{SVG}desc")}
    assert root.get("role") == "img"
    assert (root.get("aria-labelledby") or "").split() == ["mine-title", "mine-desc"] == list(ids)
    assert all(ids.values()) and "filament" in (ids["mine-desc"] or "") and texts


def test_the_graph_shows_what_proves_and_what_is_ruled_out() -> None:
    """The fault of the verdict stands out, and excluded ones say so in words, not by grey alone."""
    graph = argue(told(ohms="endless", fuse_look="whole"))
    faults = {node.name: node for node in graph.nodes if node.kind == "fault"}
    assert faults["fault broken"].leads and not faults["fault broken"].out
    assert faults["fault blown"].out
    assert {(edge.end, edge.says) for edge in graph.edges if edge.end.startswith("fault")} >= {
        ("fault broken", "proves"),
        ("fault blown", "rules out"),
    }
    assert "ruled out" in parts(picture.draw(graph, "g", percent))[1]


def test_conclusions_stand_between_the_rules() -> None:
    """A rule that rests on a conclusion is drawn after it, and the finding before the rule that concluded it."""
    graph = argue(told(volts="full"))
    ends = {(edge.start, edge.end) for edge in graph.edges}
    assert ("fact volts full", "rule volts-full") in ends and ("rule volts-full", "fact supply sound") in ends
    assert ("fact supply sound", "rule supply-sound") in ends


def test_a_doubtful_answer_rules_nothing_out_in_the_picture() -> None:
    """Hard effects that rest on an answer that says little are drawn as what they are, soft ones."""
    graph = argue(told(bulb_look="broken", volts="full"))
    assert not any(edge.says in ("rules out", "proves") and edge.start == "rule supply-sound" for edge in graph.edges)


def test_without_an_answer_there_is_no_picture() -> None:
    """A job in which no rule has spoken has nothing to draw."""
    assert not argue(Session(small_base())) and not argue(told())


def test_a_ring_of_rules_is_drawn_all_the_same() -> None:
    """Two rules that rest on each other's conclusions must not hang the program."""
    from engine.argument import Edge

    nodes = [Node("r1", "rule", "one"), Node("r2", "rule", "two"), Node("f", "fault", "f", 0.5)]
    edges = (Edge("r1", "r2"), Edge("r2", "f", "for"))
    assert picture.draw(Graph(tuple(nodes), edges), "g", percent)


@pytest.mark.parametrize("name", ["bulb-burnt-out", "wet-ballast-and-no-cap", "bulb-and-earth"])
def test_pictures_of_real_reasoning_stay_small(name: str) -> None:
    """On the shipped base, a picture keeps to what matters: a dozen findings and rules each, ten faults at most."""
    from tests.playing import told as all_told

    base = shipped_base()
    if name not in base.cases:
        pytest.skip(f"the shipped base has no case {name} now")
    graph = argue(all_told(base, base.cases[name]))
    count = {kind: sum(node.kind == kind for node in graph.nodes) for kind in ("finding", "rule", "fault")}
    assert 0 < count["rule"] <= 14 and 0 < count["finding"] <= 20 and 1 < count["fault"] <= 8
    linked = {edge.start for edge in graph.edges} | {edge.end for edge in graph.edges}
    assert all(node.name in linked for node in graph.nodes if node.kind != "fault")


def test_hostile_text_is_only_text_in_a_picture() -> None:
    """Markup, escape codes and characters that XML forbids do no harm; long words are broken."""
    nodes = (Node("a", "finding", HOSTILE), Node("r", "rule", HOSTILE), Node("f", "fault", HOSTILE, 0.5))
    from engine.argument import Edge

    drawn = picture.draw(Graph(nodes, (Edge("a", "r"), Edge("r", "f", "for"))), "g", percent)
    root, texts = parts(drawn)
    assert not [one for one in root.iter() if one.tag in (f"{SVG}script", "script")]
    assert "\x1b" not in drawn and "\x00" not in drawn
    assert all(svg.width_of(one) <= 230 for one in texts)


def test_the_plot_stays_within_a_phones_width() -> None:
    """Names of any length keep inside the frame, and every line of text has a place of its own."""
    odds = Odds(
        tuple("abcde"),
        ("short", "a name of some length for a fault", "W" * 60, "x", "another fault, and yet another"),
        (Point("complaint", (0.2,) * 5), Point("<b>" + "word " * 40, (0.0, 0.0, 1.0, 0.0, 0.0)), Point("", (0.5,) * 5)),
    )
    root, _ = parts(plot.draw(odds, "p", percent))
    for one in root.iter(f"{SVG}text"):
        x, size = float(one.get("x", 0)), float(one.get("font-size", 12))
        width = svg.width_of("".join(one.itertext()), size) * (1.12 if one.get("font-weight") else 1)
        left = x - width if one.get("text-anchor") == "end" else x - width / 2 if one.get("text-anchor") else x
        assert left >= -8 and left + width <= plot.WIDTH + 8
    ends = [(one.get("x"), one.get("y")) for one in root.iter(f"{SVG}text") if one.get("text-anchor") == "end"]
    assert len(ends) == len(set(ends))


def test_lines_of_the_plot_differ_by_dash_not_by_tone_alone() -> None:
    """In print, or to an eye that tells no tones apart, no two lines look the same."""
    dashes = [style.get("stroke_dasharray") for style in plot.STYLES]
    assert len(set(dashes)) == len(dashes)


@given(st.text(max_size=200), st.floats(30, 200))
def test_text_is_broken_to_its_width(text: str, width: float) -> None:
    """No line is wider than its room, unless a single character is, and nothing but spaces is lost."""
    found = svg.lines(text, width, 12, 10_000)
    assert all(svg.width_of(line) <= width or len(line) == 1 for line in found)
    assert re.sub(r"[ \t\n\r]", "", "".join(found)) == re.sub(r"[ \t\n\r]", "", text)


@given(st.text(max_size=60))
def test_any_text_can_stand_in_a_picture(text: str) -> None:
    """Whatever was typed, the picture can be read as XML."""
    assert parts(svg.frame("n", 10, 10, text, text, svg.text(0, 0, text)))
