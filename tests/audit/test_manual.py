"""Every code that can be reported has a manual page, and pages are found."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import engine
from engine import loading
from engine.audit import manual
from engine.audit.registry import BY_CODE, CHECKS
from shell.main import main
from tests.audit.broken import BROKEN

SOURCES = [path for path in Path(engine.__file__).parent.glob("*.py") if path.name != "tables.py"]


def test_every_check_is_listed_once() -> None:
    """No two checks share a code, and each module of a check is in the list."""
    assert len(BY_CODE) == len(CHECKS)
    folder = Path(engine.__file__).parent / "audit"
    modules = {path.stem for path in folder.glob("*.py") if "\nCODE = " in path.read_text(encoding="utf-8")}
    assert modules == {str(vars(one)["__name__"]).rpartition(".")[2] for one in CHECKS}


def test_every_code_of_the_loader_has_a_page() -> None:
    """What the loader can report is explained too: its own codes and those of values (named in a private table)."""
    said = {code for path in SOURCES for code in re.findall(r'error\([^"\n]*?, "([a-z-]+)"', path.read_text("utf-8"))}
    values = {kind.replace("_", "-") for kind in loading._MEANINGS}
    assert len(said) > 10
    assert (said | values) - manual.codes().keys() == set()


@pytest.mark.parametrize("code", sorted(manual.codes()))
def test_a_page_starts_with_its_code_and_says_what_to_do(code: str) -> None:
    """The page of a check has a mend and both examples; any page has a sentence beyond its first."""
    page = manual.page(code)
    assert page.startswith(f"{code}\n\n") and manual.codes()[code].rstrip(".") in page
    if code in BY_CODE:
        assert all(part in page for part in ("\nLikely mend: ", "\nFails:\n", "\nPasses:\n"))
    else:
        assert page.count(".") >= 2 or "`" in page


@pytest.mark.parametrize("code", sorted({broken.label.partition("[")[2].rstrip("]") for broken in BROKEN}))
def test_a_reported_code_can_be_explained(code: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What stands in brackets in a report is what `--explain` takes."""
    assert main(["kb", "check", "--explain", code]) == 0
    assert capsys.readouterr().out.startswith(code)


def test_all_codes_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """`--explain` without a code lists each with its first line."""
    assert main(["kb", "check", "--explain"]) == 0
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == sorted(manual.codes())
