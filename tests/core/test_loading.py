"""Reading a knowledge base: what is wrong is reported with place, code and mend, and nothing else goes wrong."""

from __future__ import annotations

import pickle
import random
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine import KnowledgeError, Place, load
from engine.problems import error
from engine.yamltree import MAX_BYTES, Scalar, Sequence, plain, read_text
from tests.small import TEXT, base_from, small_base


class Broken(NamedTuple):
    """A mistake: the text it takes the place of, what stands there instead, and how it is reported."""

    old: str
    new: str
    code: str
    at: str  # the text of the broken file at which the report points, from its first letter
    says: str


FUSE = "fuse-whole: {when: {fuse-look: whole}, excludes: blown, because: It is whole., source: invented}"
MISTAKES = {
    "unknown key": Broken(
        "excludes: blown, b", "exclude: blown, b", "unknown-key", "exclude: blown", 'did you mean "excludes"?'
    ),
    "unknown section": Broken("repairs:\n", "repiars:\n", "unknown-section", "repiars:", 'did you mean "repairs"'),
    "words for a number": Broken(
        "value: 60, says", "value: sixty, says", "float-parsing", "sixty", "a number belongs here"
    ),
    "a list for words": Broken("says: A lamp.", "says: [A, lamp]", "string-type", "says: [A", "words belong here"),
    "words for a mapping": Broken(
        "when: {fuse-look: whole}", "when: whole", "dict-type", "whole, excludes", "a mapping belongs here"
    ),
    "duplicate key": Broken(
        "because: It is whole.,", "because: It is., because: It is whole.,", "duplicate-key", "because: It is whole.",
        "stands here twice, first at line",
    ),
    "duplicate id": Broken(FUSE, f"{FUSE}\n  fuse-whole: {{}}", "duplicate-key", "fuse-whole: {}", "keep one"),
    "missing key": Broken(
        "because: It is whole., source", "source", "missing-key", "fuse-whole: {when", "lacks `because:` (The reason"
    ),
    "no source": Broken(
        "because: It is whole., source: invented", "because: It is whole.", "missing-key", "fuse-whole: {when",
        "lacks `source:`",
    ),
    "unknown fault": Broken("excludes: blown", "excludes: blwon", "unknown-name", "blwon", 'did you mean "blown"?'),
    "unknown question": Broken(
        "when: {fuse-look: whole}", "when: {fuse-lok: whole}", "unknown-name", "fuse-lok: whole}",
        'did you mean "fuse-look"?',
    ),
    "outcome the question lacks": Broken(
        "when: {fuse-look: whole}", "when: {fuse-look: hole}", "unknown-name", "hole}", 'did you mean "whole"?'
    ),
    "unknown conclusion's value": Broken(
        "when: {supply: sound}", "when: {supply: round}", "unknown-name", "round}", 'did you mean "sound"?'
    ),
    "unless on a finding": Broken(
        "unless: {fuses: own}", "unless: {smell: yes}", "unknown-name", "smell: yes}", "there is no circumstance"
    ),
    "unknown node": Broken("node: battery, mode", "node: batery, mode", "unknown-name", "batery, mode", '"battery"?'),
    "unknown repair": Broken("repair: charge", "repair: change", "unknown-name", "change", 'did you mean "charge"?'),
    "unknown access": Broken("access: open, cautions", "access: opne, cautions", "unknown-name", "opne", '"open"?'),
    "unknown tool": Broken("tools: [meter], access", "tools: [metre], access", "unknown-name", "metre]", '"meter"?'),
    "unknown caution": Broken("cautions: [hot]", "cautions: [hott]", "unknown-name", "hott]", '"hot"?'),
    "unknown source": Broken(
        "say: Mind the wires., serious: true, source: invented", "say: Mind the wires., serious: true, source: me",
        "unknown-name", "me}", "allowed: invented",
    ),
    "unknown complaint": Broken("flat: {dead: 3, dim", "flat: {dead: 3, dimm", "unknown-name", "dimm", '"dim"?'),
    "unknown strength": Broken(
        "raises: {strong: broken}", "raises: {strnog: broken}", "literal-error", "strnog", "'strong'"
    ),
    "unknown kind of question": Broken(
        "smell: {kind: symptom", "smell: {kind: symptoms", "literal-error", "symptoms", 'did you mean "symptom"?'
    ),
    "bad id": Broken("charge: {name: charge it", "Charge: {name: charge it", "bad-id", "Charge:", "small letters"),
    "number out of range": Broken("usual: 0.97}, broken", "usual: 1.97}, broken", "less-than", "1.97", "less than 1"),
    "negative minutes": Broken("minutes: 60, steps", "minutes: -60, steps", "greater-than-equal", "-60", "at least 0"),
    "not a finite number": Broken("minutes: 60, steps", "minutes: .inf, steps", "float-parsing", ".inf", "number"),
    "nor a number": Broken("minutes: 60, steps", "minutes: nan, steps", "finite-number", "nan", "ordinary number"),
    "empty text": Broken("because: It is whole.", "because: ''", "string-too-short", "''", "empty or too short"),
    "a single outcome": Broken(
        "outcomes: {dead: {say: Dead.}, dim: {say: Dim.}}", "outcomes: {dead: {say: Dead.}}", "too-short",
        "outcomes: {dead", "at least 2 belong here",
    ),
    "no steps": Broken("steps: [Charge it.]", "steps: []", "too-short", "steps: []", "at least 1"),
    "not yes or no": Broken("Stop., serious: true", "Stop., serious: maybe", "bool-parsing", "maybe", "yes or no"),
    "anchor": Broken("mend: The clip.", "mend: &clip The clip.", "anchor", "&clip", "write the value out"),
    "alias": Broken("mend: The clip.", "mend: *clip", "anchor", "*clip", "write the value out"),
    "tag": Broken("mend: The clip.", "mend: !!str The clip.", "anchor", "!!str", "write the value out"),
    "list as a key": Broken("mend: The clip.", "[mend]: The clip.", "key-not-text", "[mend]", "a key must be"),
    "two documents": Broken("cautions:\n", "---\ncautions:\n", "two-documents", "cautions:\n", "remove the `---`"),
    "tab": Broken("  hot: {", "\thot: {", "not-yaml", "\thot", "look at the indent"),
    "bad indent": Broken("  spark: {", " spark: {", "not-yaml", "spark: {", "look at the indent"),
    "open bracket": Broken("cautions: [hot]", "cautions: [hot", "not-yaml", "", "look at the indent"),
    "deep nesting": Broken(
        "mend: The clip.", f"mend: {'[' * 30}x{']' * 30}", "too-deep", "", "nested more than 24 deep"
    ),
    "two kinds of thing in a list": Broken(
        "excludes: blown", "excludes: [{nodes: fuse}]", "unknown-key", "nodes: fuse", 'did you mean "node"?'
    ),
    "section without entries": Broken("causes:\n", "causes: none\nterms:\n", "not-a-mapping", "none", "holds entries"),
}  # fmt: skip


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_reported_where_it_stands(name: str) -> None:
    """Each mistake gives a report with file, line and column, a stable code, and the likely mend."""
    broken = MISTAKES[name]
    assert broken.old in TEXT
    text = TEXT.replace(broken.old, broken.new, 1)
    with pytest.raises(KnowledgeError) as caught:
        base_from(text, "mine.yaml")
    matching = [problem for problem in caught.value.problems if problem.code == broken.code]
    assert matching, str(caught.value)
    problem = matching[0]
    assert broken.says in problem.message
    assert problem.place.file == "mine.yaml"
    assert problem.severity == "error"
    if broken.at:
        offset = text.index(broken.at, text.rfind("\n", 0, text.index(broken.new)) + 1)
        line, column = text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)
        assert (problem.place.line, problem.place.column) == (line, column), str(problem)


def test_one_mistake_gives_few_reports() -> None:
    """A mistake is not buried under reports of what follows from it."""
    for broken in MISTAKES.values():
        if broken.code == "unknown-section":  # all its entries are lost, and every use of them is reported
            continue
        with pytest.raises(KnowledgeError) as caught:
            base_from(TEXT.replace(broken.old, broken.new, 1))
        assert len(caught.value.problems) <= 4, str(caught.value)


def test_all_mistakes_of_all_files_come_in_one_run(tmp_path: Path) -> None:
    """Two broken files and a broken entry in each: one run names all of them, in the order of files and lines."""
    (tmp_path / "a.yaml").write_text(TEXT.replace("excludes: blown", "excludes: blwon"))
    (tmp_path / "b.yaml").write_text("tools:\n  lamp: {nam: a lamp}\n  Torch: {name: a torch}\n")
    (tmp_path / "c.yaml").write_text("faults: [\n")
    with pytest.raises(KnowledgeError) as caught:
        load([tmp_path])
    found = [(Path(problem.place.file).name, problem.code) for problem in caught.value.problems]
    assert {("b.yaml", "unknown-key"), ("b.yaml", "missing-key"), ("b.yaml", "bad-id"), ("c.yaml", "not-yaml")} <= set(
        found
    )
    assert ("a.yaml", "unknown-name") in found
    assert found == sorted(found, key=lambda one: one[0])


def test_an_id_used_in_two_files_is_reported_with_both_places(tmp_path: Path) -> None:
    """The second declaration is reported, and the first is named."""
    (tmp_path / "a.yaml").write_text(TEXT)
    (tmp_path / "b.yaml").write_text("tools:\n  meter: {name: another meter}\n")
    with pytest.raises(KnowledgeError) as caught:
        load([tmp_path])
    (problem,) = caught.value.problems
    assert problem.code == "duplicate-id"
    assert (Path(problem.place.file).name, problem.place.line, problem.place.column) == ("b.yaml", 2, 3)
    assert "a.yaml:" in problem.message


def report(folder: Path) -> str:
    """What loading a folder reports."""
    with pytest.raises(KnowledgeError) as caught:
        load([folder])
    return str(caught.value)


def test_a_file_that_is_too_large_is_refused(tmp_path: Path) -> None:
    """A file beyond the limit is not read at all."""
    (tmp_path / "a.yaml").write_text("# " + "x" * MAX_BYTES + "\n")
    assert "error[too-large]" in report(tmp_path)


def test_a_file_that_is_not_text_is_refused(tmp_path: Path) -> None:
    """Bytes that are no UTF-8 are reported, with what to do."""
    (tmp_path / "a.yaml").write_bytes(b"terms:\n  lamp: \xff\xfe lamp\n")
    assert "a.yaml:" in report(tmp_path)
    assert "UTF-8" in report(tmp_path)


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    """A file that is elsewhere is not read through a link, nor through a linked folder."""
    inside, outside = tmp_path / "in", tmp_path / "out"
    inside.mkdir()
    outside.mkdir()
    (outside / "a.yaml").write_text(TEXT)
    (inside / "a.yaml").symlink_to(outside / "a.yaml")
    assert "error[outside]" in report(inside)


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    """A misspelt folder is reported and not taken for an empty one."""
    assert "error[no-folder]" in report(tmp_path / "nowhere")


def test_a_base_without_roles_says_where_to_get_them(tmp_path: Path) -> None:
    """A folder that lacks the roles says so."""
    (tmp_path / "a.yaml").write_text("terms: {lamp: a lamp}\n")
    assert "error[no-roles]" in report(tmp_path)


@pytest.mark.parametrize("word", ["off", "no", "on", "yes", "012", "12:30", "1e3", "null", "~", "2024-01-01", "0x10"])
def test_words_keep_their_meaning(word: str) -> None:
    """What plain YAML would turn into a truth value, a number, a time or nothing stays the word that was written."""
    tree = read_text(f"key: {word}\nlist: [{word}]\n{word}: x\n", "a.yaml")
    assert plain(tree) == {"key": word, "list": [word], word: "x"}


def test_a_word_like_off_can_be_an_outcome() -> None:
    """`off` and `on` without quotes are outcomes like any other."""
    text = TEXT.replace(
        "{clean: {say: Clean., usual: 0.9}, green: {say: Green.}}", "{off: {say: Off.}, on: {say: On.}}"
    )
    text = text.replace("plug-look: green", "plug-look: off").replace("plug-look: clean", "plug-look: on")
    assert list(base_from(text).questions["plug-look"].outcomes) == ["off", "on"]


def test_a_later_folder_replaces_an_entry(tmp_path: Path) -> None:
    """An entry of a folder given later takes the place of the earlier folder's; all others stay."""
    shipped, own = tmp_path / "shipped", tmp_path / "own"
    for folder in (shipped, own):
        folder.mkdir()
    (shipped / "a.yaml").write_text(TEXT)
    (own / "mine.yaml").write_text("tools:\n  meter: {name: my own meter}\n  torch: {name: a torch}\n")
    base = load([shipped, own])
    assert base.tools["meter"].name == "my own meter"
    assert list(base.tools) == ["meter", "torch"]
    assert Path(base.place("tools", "meter").file).name == "mine.yaml"
    assert base.faults == small_base().faults
    assert load([own, shipped]).tools["meter"].name == "a meter"


def test_every_entry_knows_its_place() -> None:
    """Line and column of an entry are those of its id."""
    place = small_base().place("rules", "fuse-whole")
    line = TEXT.splitlines()[place.line - 1]
    assert line[place.column - 1 :].startswith("fuse-whole:")


def _mutated(rng: random.Random) -> str:
    """The small base with some letters, lines or words lost, doubled, swapped or put in."""
    text = TEXT
    odd = [
        "{",
        "}",
        "[",
        "]",
        ":",
        ",",
        "&a ",
        "*a",
        "!",
        "|",
        ">",
        "'",
        '"',
        "#",
        "\t",
        "\n",
        "---\n",
        "? ",
        "- ",
        "\x00",
        "é",
        "-1",
    ]
    for _ in range(rng.randint(1, 3)):
        at = rng.randrange(len(text))
        end = at + rng.choice((0, 1, 1, 5, 40))
        kind = rng.randrange(4)
        middle = "" if kind == 0 else text[at:end] * 2 if kind == 1 else rng.choice(odd)
        if kind == 3:
            other = rng.randrange(len(text))
            middle = text[other : other + 10]
        text = text[:at] + middle + text[end:]
    return text


@settings(max_examples=120, deadline=None)
@given(st.integers(0, 2**32))
def test_a_damaged_file_is_loaded_or_reported(seed: int) -> None:
    """Whatever happens to the text, it loads or its problems are reported, each with a place; no other exception."""
    try:
        base_from(_mutated(random.Random(seed)), "mine.yaml")
    except KnowledgeError as exc:
        assert exc.problems
        assert all(problem.place.line >= 1 and problem.place.column >= 1 for problem in exc.problems)


@settings(max_examples=150, deadline=None)
@given(st.one_of(st.text(max_size=80), st.text("{}[]:,-&*!|>'\"#%@` \n\tab1", max_size=60)))
def test_any_text_is_read_or_reported(text: str) -> None:
    """Text of any kind is a mapping, or its problems are reported; no other exception."""
    try:
        tree = read_text(text, "mine.yaml")
    except KnowledgeError as exc:
        assert exc.problems
    else:
        assert isinstance(plain(tree), dict)


def test_trees_keep_the_places_of_their_parts() -> None:
    """A value in a list in a mapping knows its own line and column."""
    tree = read_text("a:\n  - b\n  - c: d\n", "a.yaml")
    items = tree.items["a"]
    assert isinstance(items, Sequence)
    assert isinstance(items.items[0], Scalar)
    assert items.items[0].place == ("a.yaml", 2, 5)
    assert items.items[1].place == ("a.yaml", 3, 5)


def test_problems_survive_the_way_between_processes() -> None:
    """What a worker process could not load is told in full by the one that started it."""
    found = KnowledgeError([error(Place("a.yaml", 2, 3), "odd", "mend it")])
    assert str(pickle.loads(pickle.dumps(found))) == str(found) == "a.yaml:2:3: error[odd] mend it"
