"""`kb show`: entries read aloud, what they decide and where they stand; expectations are those computed with."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from engine.entries import SECTIONS, find
from engine.expectations import expectations, usual
from engine.expected import expected, technologies_of
from engine.grounding import ground
from engine.telling import tell
from shell.main import main
from tests.shipped import shipped_base
from tests.small import small_base


@pytest.mark.parametrize("section", SECTIONS)
def test_every_entry_of_the_small_base_can_be_told(section: str) -> None:
    """With its place, and something to say; no placeholder is left in braces."""
    base = small_base()
    for name in getattr(base, section):
        told = tell(base, section, name)
        assert told.parts and (told.place.startswith("small.yaml:") or section == "conclusions")
        assert all(line for part in told.parts for line in part.lines)


def test_entries_of_the_shipped_base_can_be_told() -> None:
    """A tenth of each section, in words without a `{this}`."""
    base = shipped_base()
    for section in SECTIONS:
        for name in list(getattr(base, section))[::10]:
            told = tell(base, section, name)
            assert told.parts, (section, name)
            if section in ("rules", "questions"):
                assert not any("{this}" in line for part in told.parts for line in part.lines), (section, name)


def test_a_rule_says_what_it_does_and_why() -> None:
    """Selections are spelled out, so that a trainer sees which faults are meant; the source is told."""
    parts = {part.head: " ".join(part.lines) for part in tell(small_base(), "rules", "volts-low").parts}
    assert "volts at the lamp (volts): low" in parts["When"]
    assert "rules out broken filament (broken)" in parts["Then it"] and "green plug (green)" in parts["Then it"]
    assert parts["Because"] == "Some is lost." and parts["Source"] == "Invented for tests (invented)"


def test_a_rule_said_for_every_light_is_told_at_the_light() -> None:
    """A question about another light names the rules that are said for each light."""
    parts = {part.head: " ".join(part.lines) for part in tell(small_base(), "questions", "light.other").parts}
    assert "works-clears" in parts["Answer works"] and "95 of 100" in parts["Answer works"]


def test_a_fault_names_the_rules_on_it() -> None:
    """Each way a rule can bear on it, its repair, causes and cases."""
    parts = {part.head: " ".join(part.lines) for part in tell(small_base(), "faults", "broken").parts}
    assert "ohms-endless" in parts["Proved by"] and "ohms-low" in parts["Ruled out by"]
    assert "60 of 100 dead" in parts["Behind"] and parts["Worked cases"] == "plain"


def test_found_by_id_by_name_and_by_words() -> None:
    """An id comes before a name, a name before words of it."""
    base = small_base()
    assert find(base, "volts") == [("questions", "volts")]
    assert find(base, "Broken  Filament") == [("faults", "broken")]
    assert set(find(base, "green")) == {("faults", "green")}
    assert ("faults", "green-and-broken") in find(base, "plug bulb")
    assert find(base, "nonsense") == []


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["brokn"], 'did you mean "broken"'),
        (["--expectations", "brokn"], 'did you mean "broken"'),
        (["--expectations", "broken", "--technology", "lamb"], "not in play"),
        (["--expectations", "broken", "--given", "fuse=own"], 'did you mean "fuses"'),
        (["--expectations", "broken", "--given", "fuses=mine"], "own, shared"),
        ([], "by its id or name"),
    ],
)
def test_a_wrong_name_is_met_with_the_nearest(
    here: Path, argv: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Code 2, one sentence."""
    assert main(["--kb", "base", "kb", "show", *argv]) == 2
    told = capsys.readouterr()
    assert words in told.err and told.out == "" and len(told.err.splitlines()) == 1


def test_what_is_laid_over_is_shown(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A rule of one's own, with its place in one's own file, and among the rules on its fault."""
    assert main(["--kb", "base", "--kb-add", "mine", "kb", "show", "endless-is-the-meter"]) == 0
    assert "mine/mine.yaml:3:3" in capsys.readouterr().out
    assert main(["--kb", "base", "--kb-add", "mine", "kb", "show", "broken"]) == 0
    assert "endless-is-the-meter" in capsys.readouterr().out


@pytest.mark.parametrize("fault", ["flat", "blown", "green", "broken", "rusty", "green-and-broken"])
def test_expectations_are_those_the_program_computes_with(fault: str) -> None:
    """The same shares as in the tables of belief, summing to one, and a rule wherever they differ from usual."""
    base = small_base()
    table = expectations(ground(base, "lamp"))
    for one in expected(base, fault, "lamp", {}):
        shares = [seen.share for seen in one.outcomes]
        column = table.table(one.question, {"kind": "lamp"})[:, table.columns[fault]]
        assert np.allclose(shares, column) and sum(shares) == pytest.approx(1)
        assert [seen.usual for seen in one.outcomes] == pytest.approx(list(usual(base, one.question)))
        assert one.spoken or one.far < 1e-9


def test_what_tells_most_comes_first() -> None:
    """Questions that no rule links with the fault come last."""
    found = expected(small_base(), "broken", "lamp", {})
    assert [one.spoken for one in found] == sorted((one.spoken for one in found), reverse=True)
    told = [one.far for one in found if one.spoken]
    assert told == sorted(told, reverse=True) and technologies_of(small_base(), "broken") == ("lamp", "other")


def test_expectations_name_their_rules(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Which rule made which share, and what no rule speaks of."""
    assert main(["--kb", "base", "kb", "show", "--expectations", "broken"]) == 0
    out = capsys.readouterr().out
    assert "ohms-low rules out" in out and "No rule speaks of this fault on:" in out and "fuse-look" in out
