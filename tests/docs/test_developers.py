"""DEVELOPERS.md and README.md say what is true: the tutorial runs, and every command stands in one of them."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from shell.kb import BENCH
from shell.main import COMMANDS
from tests.docs.tutorial import PAGE, ROOT, blocks, file_of


def _run(line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    words = shlex.split(line)
    if words[0] == "lampwright":
        words = [sys.executable, "-m", "shell", *words[1:]]
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "LAMPWRIGHT_DATA": str(folder / "data")}
    return subprocess.run(words, cwd=folder, capture_output=True, text=True, timeout=280, check=False, env=environment)


def test_every_command_of_the_tutorial_ends_clean(tmp_path: Path) -> None:
    """Its files are written and its commands run in order, in an empty folder; each ends with code 0."""
    said = {}
    for block in blocks():
        if block.language == "yaml":
            name, text = file_of(block)
            (tmp_path / name).write_text(text, encoding="utf-8")
        else:
            for line in block.text.splitlines():
                done = _run(line, tmp_path)
                assert done.returncode == 0, f"{line}\n{done.stdout}\n{done.stderr}"
                said[line] = done
    checked = said["lampwright --kb-add mine kb check mine"]
    assert checked.stdout == "" and "0 errors, 0 warnings, 0 pieces of advice" in checked.stderr
    assert "tie-cut-in-seen" in said["lampwright --kb-add mine kb show --expectations tie-crushed-wire"].stdout
    moved = said["lampwright --kb-add mine kb compare shipped --told"].stdout
    assert "rules added: 3" in moved and "tie-crushed-wire-found" in moved
    assert (tmp_path / "tie.svg").read_text(encoding="utf-8").startswith("<svg")


def test_the_tutorial_adds_what_it_promises() -> None:
    """A fault, a question, three rules and a case, each in a file that a draft was written to."""
    shown = [block for block in blocks() if block.language == "yaml"]
    text = "\n".join(file_of(block)[1] for block in shown)
    for section in ("faults:", "questions:", "rules:", "cases:"):
        assert text.splitlines().count(section) == 1
    assert text.count("because:") == 3
    commands = "".join(block.text for block in blocks() if block.language == "sh")
    for block in shown:
        name = Path(file_of(block)[0]).stem
        assert f" {name}" in commands or f"{name}.yaml" in commands


def test_the_map_names_every_module_of_the_engine() -> None:
    """Whoever looks for a module finds it under `Where things live`, and learns what it is for."""
    text = PAGE.read_text(encoding="utf-8")
    drawn = text[text.index("    engine/") : text.index("    shell/")]
    modules = {path.stem for path in (ROOT / "engine").glob("*.py")} - {"__init__"}
    assert modules - set(re.findall(r"\w+", drawn)) == set()


@pytest.mark.parametrize("command", [*COMMANDS, *(f"kb {name}" for name in BENCH)])
def test_every_command_is_written_of(command: str) -> None:
    """Each command and sub-command that `--help` lists stands in the README or in DEVELOPERS.md."""
    pages = (ROOT / "README.md").read_text(encoding="utf-8") + PAGE.read_text(encoding="utf-8")
    assert f"lampwright {command}" in pages or f"`{command}" in pages
