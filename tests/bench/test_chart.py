"""`kb chart`: pictures are sound, nothing in the base becomes markup, and missing knowledge stays visible."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest

from engine import chart, heatmap
from engine.argument import Graph, Node
from engine.mermaid import mermaid
from engine.picture import draw
from shell.main import main
from tests.shipped import shipped_base
from tests.small import small_base

SVG = "{http://www.w3.org/2000/svg}"


def _one_chapter(section: str, name: str) -> str:
    return "small"


@pytest.mark.parametrize("section", chart.SECTIONS)
def test_everything_can_be_drawn_around(section: str) -> None:
    """Every line joins boxes that are there, and the picture is well-formed."""
    base = small_base()
    for name in getattr(base, section):
        graph = chart.around(base, section, name)
        names = {node.name for node in graph.nodes}
        assert all({edge.start, edge.end} <= names for edge in graph.edges)
        if graph.edges:
            ET.fromstring(draw(graph, "chart", lambda share: f"{share:.0%}"))


def test_a_rule_is_drawn_with_what_leads_to_it_and_away() -> None:
    """Through its conclusion back to the rule that comes to it, and on to the faults it rules out."""
    graph = chart.around(small_base(), "rules", "supply-sound")
    said = {(edge.start.partition(" ")[0], edge.end.partition(" ")[0], edge.says) for edge in graph.edges}
    assert {("finding", "rule", ""), ("rule", "conclusion", ""), ("conclusion", "rule", "")} <= said
    assert any(start == "rule" and end == "fault" and says == "rules out" for start, end, says in said)


def test_the_whole_keeps_every_box_on_a_line() -> None:
    """Lines are left out for room, but no chapter, conclusion or stretch that had one loses its last."""
    base = shipped_base()
    chapters = lambda section, name: Path(base.place(section, name).file).stem  # noqa: E731
    full, none = chart.whole(base, chapters, most=10**6)
    graph, left = chart.whole(base, chapters)
    assert none == 0 and left == len(full.edges) - len(graph.edges) > 0
    ends = {name for edge in graph.edges for name in (edge.start, edge.end)}
    assert ends == {name for edge in full.edges for name in (edge.start, edge.end)}


def test_words_of_the_base_are_no_markup() -> None:
    """Quotes, brackets and backticks of a text cannot end its box, in Mermaid as in SVG."""
    text = 'a "quoted" <b>box</b> `with` ]] }} #ends'
    graph = Graph(
        (Node("rule one", "rule", text), Node("fault two", "fault", text)), (chart.Edge("rule one", "fault two"),)
    )
    lines = mermaid(graph).splitlines()
    assert len(lines) == 4 and all(line.count('"') in (0, 2) and "<" not in line for line in lines)
    assert "<b>" not in draw(graph, "chart", str)


def test_mermaid_names_each_box_once() -> None:
    """Ids are unique, and every line uses ids that are there."""
    text = mermaid(chart.whole(small_base(), _one_chapter)[0])
    ids = re.findall(r"^    (n\d+)[\[({]", text, re.MULTILINE)
    used = re.findall(r"^    (n\d+) .*(n\d+)$", text, re.MULTILINE)
    assert len(ids) == len(set(ids)) and used and {one for pair in used for one in pair} <= set(ids)


def test_a_cell_is_empty_just_where_nothing_is_known() -> None:
    """A cell is filled when and only when the expectation differs from what is usual."""
    base = small_base()
    found = heatmap.table(base, "lamp", {name: "small" for name in base.questions})
    at = {name: number for number, name in enumerate(found.questions)}
    row = {name: number for number, name in enumerate(found.faults)}
    assert np.isnan(found.far[row["rusty"], at["ohms"]]) and found.far[row["broken"], at["ohms"]] > 0.9
    picture = ET.fromstring(heatmap.draw(base, "lamp", found))
    empty = [one for one in picture.iter(f"{SVG}rect") if one.get("stroke") == "#ddd"]
    assert len(empty) == int(np.isnan(found.far).sum()) + 1  # and one in the legend
    words = "".join(one.text or "" for one in picture.iter(f"{SVG}text"))
    assert all(base.faults[name].name in words for name in found.faults) and "nothing known" in words


def test_questions_of_other_lamps_are_not_in_the_table() -> None:
    """What cannot be asked of this lamp is no missing knowledge."""
    base = shipped_base()
    role = base.roles.technology
    for technology in list(base.technologies)[:2]:
        found = heatmap.table(base, technology, {name: "one" for name in base.questions})
        assert all(technology in base.questions[name].suits.get(role, (technology,)) for name in found.questions)
        assert len(found.faults) == len(found.far) > 0


def test_pictures_are_written_where_asked(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file for each, well-formed, with a ground of its own; Mermaid goes to the screen."""
    assert main(["--kb", "base", "kb", "chart", "broken", "--svg", "a.svg"]) == 0
    assert main(["--kb", "base", "kb", "chart", "--svg", "b.svg"]) == 0
    assert main(["--kb", "base", "kb", "chart", "--table", "lamp", "--svg", "c.svg"]) == 0
    for name in "abc":
        text = Path(f"{name}.svg").read_text(encoding="utf-8")
        assert ET.fromstring(text).tag == f"{SVG}svg" and "Canvas" not in text
    capsys.readouterr()
    assert main(["--kb", "base", "--kb-add", "mine", "kb", "chart", "broken"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("flowchart LR") and "endless-is-the-meter" in out


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["brokn"], 'did you mean "broken"'),
        (["--table", "lamp"], "--svg FILE"),
        (["--table", "lamb", "--svg", "a.svg"], 'did you mean "lamp"'),
        (["broken", "--svg", "no/folder/a.svg"], "cannot be written"),
        (["fuses"], "nothing to draw"),
    ],
)
def test_what_cannot_be_drawn_says_why(
    here: Path, argv: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Code 2, one sentence."""
    assert main(["--kb", "base", "kb", "chart", *argv]) == 2
    assert words in capsys.readouterr().err
