"""`kb check` end to end: broken entries reported at the right place with the mend, formats, exit codes, remarks."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from shell.main import main
from tests.audit.broken import BROKEN, Broken, rule

LINE = re.compile(
    r"(?P<file>[^:]+):(?P<line>\d+):(?P<column>\d+): (?P<label>(error|warning|advice)\[[a-z-]+\]) (?P<said>.+)"
)


def check(*options: str) -> int:
    """Run the check on the example base with the folder `own` over it; the exit code."""
    return main(["--kb", "base", "--kb-add", "own", "kb", "check", *options])


def own(folder: Path, text: str) -> Path:
    """A file of the trainer's own, with this text."""
    path = folder.parent / "own" / "odd.yaml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("broken", BROKEN, ids=lambda one: one.name.replace(" ", "-"))
def test_a_broken_entry_is_reported_where_it_is_wrong(
    broken: Broken, base_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each is reported at its line and column, with its severity, its code and a word of the mend."""
    own(base_folder, broken.text)
    code = check()
    found = [LINE.fullmatch(line) for line in capsys.readouterr().out.splitlines()]
    assert all(found)
    told = [(one["file"], int(one["line"]), int(one["column"]), one["label"]) for one in found if one]
    assert ("own/odd.yaml", broken.line, broken.column, broken.label) in told, told
    assert any(broken.words in one["said"] for one in found if one and one["label"] == broken.label)
    assert code == any(label.startswith("error") for *_, label in told)


def test_a_broken_table_is_reported_once_where_it_is_wrong(
    base_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A row of a published table is an entry like any other: one problem, one line, with the path as it was given."""
    own(base_folder, "terms: {tie: A strap.}\n")
    tables = base_folder.parent / "own" / "tables"
    tables.mkdir()
    row = ["fuses:", '  "3":', "    rating: 3", "    colour: violet", "    status: read", "    shade: light"]
    (tables / "fuses.yaml").write_text("\n".join([*row, "    source: invented"]), encoding="utf-8")
    assert check() == 1
    told = [line for line in capsys.readouterr().out.splitlines() if "bad-table" in line]
    assert told == ["own/tables/fuses.yaml:6:5: error[bad-table] fuses.3.shade: there is no such key"]


def test_at_least_thirty_entries_are_broken() -> None:
    """The collection is as large as was promised, and no two are broken in the same words."""
    assert len({broken.text for broken in BROKEN}) >= 30


def test_a_clean_base_says_nothing_and_succeeds(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing on the output, a summary beside it, exit code 0."""
    assert main(["--kb", "base", "kb", "check"]) == 0
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", "0 errors, 0 warnings, 0 pieces of advice.\n")


def test_doubts_alone_do_not_fail_the_check(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Warnings and advice leave the exit code at 0."""
    own(base_folder, "causes:\n  odd: {name: odd, look: At it., mend: It.}\n")
    assert check() == 0
    assert "1 piece of advice" in capsys.readouterr().err


def test_everything_is_reported_in_one_run(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What keeps the base from loading does not hide the doubts that can be told without, and all is sorted."""
    own(base_folder, rule("when: {fuse-loook: open}\nbecause: The ECU says so.") + "causes:\n  a: {name: 1}\n")
    assert check() == 1
    told = capsys.readouterr()
    lines = [int(line.split(":")[1]) for line in told.out.splitlines()]
    assert lines == sorted(lines) and "[unknown-name]" in told.out and "[plain-words]" in told.out
    assert "does not load yet" in told.err


def test_a_path_narrows_the_report(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Only what stands in the path is reported; a file outside the base is laid over it."""
    own(base_folder, "causes:\n  queer: {name: odd, look: At it., mend: It.}\n")
    Path("apart.yaml").write_text("causes:\n  odd: {name: odd, look: At it., mend: It.}\n", encoding="utf-8")
    assert check("apart.yaml") == 0
    assert capsys.readouterr().out.startswith("apart.yaml:2:3: advice[unused]")
    assert check("base") == 0
    assert capsys.readouterr().out == ""


def test_json_holds_what_the_text_holds(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One document with every problem in parts, and the counts."""
    own(base_folder, rule("when: {fuse-look: open}\nexcludes: fuse-open\nbecause: So."))
    assert check("--format", "json") == 1
    told = json.loads(capsys.readouterr().out)
    assert check() == 1
    lines = [
        f"{one['file']}:{one['line']}:{one['column']}: {one['severity']}[{one['code']}] {one['message']}"
        for one in told["problems"]
    ]
    assert lines == capsys.readouterr().out.splitlines()
    assert told["errors"] == sum(one["severity"] == "error" for one in told["problems"]) > 0


def test_annotations_keep_to_one_line_each(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Severities become their names there, and signs that would end a field are escaped."""
    own(base_folder, "causes:\n  odd: {name: odd, look: At it., mend: It.}\n")
    (base_folder.parent / "own" / "50%,odd.yaml").write_text(
        rule("when: {moon: full}\nproves: fuse-open\nbecause: So."), encoding="utf-8"
    )
    assert check("--format", "github") == 1
    first, *rest = capsys.readouterr().out.splitlines()
    assert first.startswith("::error file=own/50%25%2Codd.yaml,line=3,col=12,title=unknown-name::rules ")
    assert rest == []  # a base that does not load has no use to look for


@pytest.mark.parametrize(
    "argv",
    [
        ["--kb", "nowhere", "kb", "check"],
        ["--kb", "base", "--kb-add", "nowhere", "kb", "check"],
        ["--kb", "base", "kb", "check", "nowhere.yaml"],
        ["--kb", "base", "kb", "check", "--format", "pretty"],
        ["kb", "check", "--explain", "bandz"],
        ["kb"],
    ],
)
def test_what_cannot_run_says_so(argv: list[str], base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2, a sentence beside the output, no traceback."""
    assert main(argv) == 2
    told = capsys.readouterr()
    assert told.out == "" and told.err and "Traceback" not in told.err


REPEAT = rule("when: {fuse-look: open, hum: silent}%s\nproves: fuse-open\nbecause: So.")


def test_a_remark_with_a_reason_allows_a_doubt(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The doubt on that line is no longer reported, and nothing else is."""
    own(base_folder, REPEAT % "")
    check()
    assert "warning[repeats]" in capsys.readouterr().out
    own(base_folder, REPEAT % "  # kb: allow repeats - said again for the class")
    assert check() == 0
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("remark", "label", "words"),
    [
        ("# kb: allow repeats", "error[allow-unclear]", "the reason says why"),
        ("# kb: allow repeat - so it is", "error[allow-unclear]", 'did you mean "repeats"'),
        ("# kb: allow", "error[allow-unclear]", "write `# kb: allow CODE - reason`"),
        ("# kb: allow bands - so it is", "warning[allow-unused]", "take the remark out"),
    ],
)
def test_a_remark_that_does_not_hold_is_reported(
    remark: str, label: str, words: str, base_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without reason, with an unknown code, or with nothing to allow: at the place of the remark."""
    own(base_folder, REPEAT % f"  {remark}")
    check()
    lines = [line for line in capsys.readouterr().out.splitlines() if "allow" in line]
    assert len(lines) == 1 and lines[0].startswith(f"own/odd.yaml:3:43: {label}") and words in lines[0]


def test_what_keeps_a_base_from_loading_is_not_allowed(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A remark for a code of the loader names no check."""
    own(base_folder, rule("when: {moon: full}  # kb: allow unknown-name - it rises\nbecause: So."))
    assert check() == 1
    told = capsys.readouterr().out
    assert "error[unknown-name]" in told and "error[allow-unclear]" in told
