"""A folder with the clean example base, for commands to be run on."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.audit.example import TEXT


@pytest.fixture
def base_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder `base` in an empty current folder."""
    monkeypatch.chdir(tmp_path)
    folder = tmp_path / "base"
    folder.mkdir()
    (folder / "base.yaml").write_text(TEXT, encoding="utf-8")
    return folder
