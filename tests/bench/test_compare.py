"""`kb compare`: a harmful rule stands out, worst first; git and folders are read and left alone."""

from __future__ import annotations

import json
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.cases import Ending, Ran
from engine.comparison import asked_of, compare
from engine.schema import Case
from engine.suspicion import doubtful
from shell.main import main
from tests.small import base_from, small_base

GIT = ["git", "-c", "user.name=tester", "-c", "user.email=tester@example.invalid"]


def _git(folder: Path, *words: str) -> str:
    return subprocess.run([*GIT, *words], cwd=folder, capture_output=True, text=True, check=True).stdout


def test_a_harmful_rule_stands_out(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The case it spoils comes first, with the rule's name; what it contradicts is told; code 1."""
    assert main(["--kb", "base", "--kb-add", "mine", "kb", "compare", "base"]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "Cases that end worse:" and "plain" in lines[1] and "base/base.yaml:" in lines[1]
    assert any("rules out broken, by endless-is-the-meter" in line for line in lines)
    assert any("mine/mine.yaml:3:3" in line and "CONTRADICTION" in line for line in lines)
    assert "rules added: 1" in lines[-1] and "1 worse, 1 of them" in lines[-1]


def test_it_comes_as_a_document_too(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With the summary, the entries that differ, the cases and the doubtful rules."""
    assert main(["--kb", "base", "--kb-add", "mine", "kb", "compare", "base", "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert document["summary"]["worse"] == document["summary"]["fails"] == 1
    assert document["entries"] == [{"section": "rules", "entry": "endless-is-the-meter", "how": "added"}]
    assert document["cases"][0]["case"] == "plain" and document["rules"][0]["against"] is True


def test_equal_bases_differ_in_nothing(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """No entry, no case, code 0."""
    assert main(["--kb", "base", "kb", "compare", "base"]) == 0
    assert capsys.readouterr().out == (
        "Since base: no entry differs. 1 case: 0 worse; 0 moved; 0 better; 1 as before.\n"
    )


def test_a_revision_is_read_from_git_and_the_work_tree_left_alone(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The folder as it was committed is compared with the folder as it is; nothing in the checkout changes."""
    _git(here, "init", "-q", ".")
    _git(here, "add", "base")
    _git(here, "commit", "-q", "-m", "as it was")
    (here / "base" / "mine.yaml").write_text((here / "mine" / "mine.yaml").read_text(), encoding="utf-8")
    before = (
        _git(here, "status", "--porcelain"),
        sorted(str(path) for path in here.rglob("*") if ".git" not in path.parts),
    )
    assert main(["--kb", "base", "--kb-add", "mine", "kb", "compare", "HEAD"]) == 1
    assert "rules added: 1" in capsys.readouterr().out
    assert before == (
        _git(here, "status", "--porcelain"),
        sorted(str(path) for path in here.rglob("*") if ".git" not in path.parts),
    )


@pytest.mark.parametrize("old", ["nowhere", "--output=stolen", "HEAD:base"])
def test_what_is_neither_is_refused(here: Path, old: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Code 2 with what to do; a word that looks like an option of git is no option."""
    _git(here, "init", "-q", ".")
    assert main(["--kb", "base", "kb", "compare", "--", old]) == 2
    told = capsys.readouterr()
    assert "neither a folder nor a revision" in told.err and "Traceback" not in told.err
    assert not (here / "stolen").exists()


def test_an_old_base_that_is_broken_is_told(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Its problems are shown with their places, code 2."""
    assert main(["--kb", "base", "kb", "compare", "mine"]) == 2
    assert "cannot be used by this program" in capsys.readouterr().err


def test_new_knowledge_is_no_contradiction() -> None:
    """A rule on a question that nobody knew anything of is to be made sure of, and said to be no more than that."""
    from tests.small import TEXT

    rule = (
        "  smell-clears: {when: {smell: 'no'}, excludes: rusty, because: Rust has no smell., source: invented}\ncases:"
    )
    new = base_from(TEXT.replace("cases:", rule))
    (one,) = doubtful(small_base(), new, ["smell-clears"])
    assert one.fault == "rusty" and not one.against and one.met == pytest.approx(0.98)


def test_a_question_the_old_base_lacks_is_left_out_there() -> None:
    """So that a case that uses it can still be run on both."""
    case = small_base().cases["plain"].model_copy(update={"answers": {"kind": "lamp", "later": "yes", "smell": "odd"}})
    assert asked_of(case, small_base()).answers == {"kind": "lamp"}


SHARES = st.floats(0, 1)
ENDINGS = st.builds(
    Ending,
    st.sampled_from(["proved", "likely", "open", "clash"]),
    st.just("likely"),
    st.sampled_from([("a",), ("b",), ()]),
    SHARES,
    st.fixed_dictionaries({"a": SHARES, "b": SHARES}),
    st.sampled_from([{}, {"a": ("rule",)}]),
    st.sampled_from([(), ("one",), ("one", "two")]),
)
RANS = st.builds(Ran, st.just("case"), ENDINGS, ENDINGS, st.sampled_from([(), ("ends open",)]))
CASE = Case(story="Invented.", source=("invented",), answers={}, verdict="proved", faults=("a",))


@given(RANS)
def test_what_did_not_change_did_not_move(ran: Ran) -> None:
    """Law: a case that ends the same on both is in no list."""
    assert compare({"case": CASE}, (), {"case": ran}, {"case": ran}).moved == ()


@given(RANS, RANS)
def test_worse_one_way_is_better_the_other(one: Ran, two: Ran) -> None:
    """Law: turned round, what was worse is better, by the same weight."""
    there = compare({"case": CASE}, (), {"case": one}, {"case": two}).moved
    back = compare({"case": CASE}, (), {"case": two}, {"case": one}).moved
    turned = {"worse": "better", "better": "worse", "moved": "moved"}
    assert [(turned[move.way], pytest.approx(move.weight)) for move in there] == [(m.way, m.weight) for m in back]


@given(st.lists(st.tuples(RANS, RANS), max_size=6))
def test_the_worst_comes_first(pairs: list[tuple[Ran, Ran]]) -> None:
    """Law: worse before moved before better, and within each the heavier first; none is lost that lost its fault."""
    cases = {f"case-{number}": CASE for number in range(len(pairs))}
    old = {name: replace(pair[0], name=name) for name, pair in zip(cases, pairs, strict=True)}
    new = {name: replace(pair[1], name=name) for name, pair in zip(cases, pairs, strict=True)}
    found = compare(cases, (), old, new)
    ranks = [({"worse": 0, "moved": 1, "better": 2}[one.way], -one.weight) for one in found.moved]
    assert ranks == sorted(ranks) and found.total == len(pairs)
    for name in cases:
        if new[name].failings and not old[name].failings:
            assert any(one.case == name and one.fails for one in found.moved)
