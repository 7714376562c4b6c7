"""`kb new`: drafts that load, pass the check as drafts, and are written only where they may be."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.loading import load
from engine.scaffold import SECTION
from shell.main import main


@pytest.mark.parametrize("kind", SECTION)
def test_a_draft_passes_the_check_as_a_draft(kind: str, base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It loads, raises one piece of advice, at its own place, and the answer says what to do next."""
    Path("own").mkdir()
    assert main(["--kb", "base", "--kb-add", "own", "kb", "new", kind, "a-new-one"]) == 0
    told = capsys.readouterr().out
    assert f"own/{SECTION[kind]}/a-new-one.yaml:4:3" in told and "kb check" in told
    assert main(["--kb", "base", "--kb-add", "own", "kb", "check"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 1 and lines[0].startswith(f"own/{SECTION[kind]}/a-new-one.yaml:4:3: advice[drafts]")


def test_a_draft_changes_no_odds(base_folder: Path) -> None:
    """A rule's draft has no effect until one is written."""
    Path("own").mkdir()
    main(["--kb", "base", "--kb-add", "own", "kb", "new", "rule", "a-new-one"])
    rule = load([base_folder, Path("own")]).rules["a-new-one"]
    assert not (rule.excludes or rule.proves or rule.raises or rule.lowers or rule.concludes)


def test_a_draft_goes_to_the_end_of_its_section(base_folder: Path) -> None:
    """In a file that has the section, the entry comes last there; everything else stays as it was."""
    file = base_folder / "more.yaml"
    before = "causes:\n  odd: {name: odd, look: At it., mend: It.}\n\n# the rest\nterms:\n  odd: Strange.\n"
    file.write_text(before, encoding="utf-8")
    assert main(["--kb", "base", "kb", "new", "rule", "one", "--in", str(file)]) == 0
    assert main(["--kb", "base", "kb", "new", "rule", "two", "--in", str(file)]) == 0
    text = file.read_text(encoding="utf-8")
    assert text.startswith(before) and text.index("  one:") < text.index("  two:")
    assert {"one", "two"} <= load([base_folder]).rules.keys()
    file.write_text(text + "nodes:\n  odd: {name: odd, section: feed}\n", encoding="utf-8")
    assert main(["--kb", "base", "kb", "new", "rule", "three", "--in", str(file)]) == 0
    assert file.read_text(encoding="utf-8").index("  three:") < file.read_text(encoding="utf-8").index("nodes:")
    assert "three" in load([base_folder]).rules


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["kb", "new", "rule", "one"], "--kb-add DIR"),
        (["--kb-add", "nowhere", "kb", "new", "rule", "one"], "no such folder"),
        (["--kb-add", "own", "kb", "new", "rule", "One_Rule"], "small letters"),
        (["--kb-add", "own", "kb", "new", "rule", "battery-volts-low-at-rest-" * 4], "cannot be an id"),
        (["--kb-add", "own", "kb", "new", "rule", "one", "--in", "own/rules.txt"], "end in .yaml"),
        (["--kb-add", "own", "kb", "new", "rule", "one", "--in", "own/broken.yaml"], "Mend this file first"),
        (["--kb-add", "own", "kb", "new", "rule", "one", "--in", "own/flow.yaml"], "two spaces"),
        (["--kb-add", "site-packages/kb", "kb", "new", "rule", "one"], "not written to"),
    ],
)
def test_what_cannot_be_written_is_refused(
    argv: list[str], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2 with what to do, and no file made or changed."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "own").mkdir()
    (tmp_path / "site-packages" / "kb").mkdir(parents=True)
    # Apart from the folders the loader reads, so that the base itself is sound.
    broken, flow = tmp_path / "broken.yaml", tmp_path / "flow.yaml"
    broken.write_text("rules: [", encoding="utf-8")
    flow.write_text("rules: {}\n", encoding="utf-8")
    argv = [word.replace("own/broken", "broken").replace("own/flow", "flow") for word in argv]
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    assert main(argv) == 2
    told = capsys.readouterr()
    assert words in told.err and told.out == ""
    assert before == {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}


def test_a_name_in_use_is_refused(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The place of the entry that has it is named."""
    assert main(["--kb", "base", "kb", "new", "fault", "fuse-open"]) == 2
    assert "base/base.yaml" in capsys.readouterr().err
