"""A folder with the small base as the current rule base, for the trainer's commands."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.small import TEXT

HARMFUL = """
rules:
  endless-is-the-meter:
    when: {ohms: endless}
    excludes: broken
    because: A meter that shows nothing is often set wrong.
    source: invented
"""


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty current folder with the small base in `base` and a harmful rule in `mine`."""
    monkeypatch.chdir(tmp_path)
    for name, text in (("base", TEXT), ("mine", HARMFUL)):
        (tmp_path / name).mkdir()
        (tmp_path / name / f"{name}.yaml").write_text(text, encoding="utf-8")
    return tmp_path
