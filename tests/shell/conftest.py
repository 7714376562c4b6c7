"""What the shell's tests share: a job on the small base, that base as a folder, and the program as a process."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from engine.session import Session
from tests.small import TEXT, small_base

Run = Callable[..., subprocess.CompletedProcess[bytes]]


@pytest.fixture
def session() -> Session:
    """A new job on the small base."""
    return Session(small_base())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder that holds the small base."""
    where = tmp_path / "base"
    where.mkdir()
    (where / "small.yaml").write_text(TEXT, encoding="utf-8")
    return where


@pytest.fixture
def environment(tmp_path: Path) -> Mapping[str, str]:
    """An environment in which nothing is kept outside the test's own folder."""
    own = {
        "XDG_STATE_HOME": str(tmp_path / "state"),
        "LAMPWRIGHT_DATA": str(tmp_path / "data"),
        "TERM": "xterm-256color",
    }
    taken_out = {"NO_COLOR", "COLUMNS", *own}
    return {name: value for name, value in os.environ.items() if name not in taken_out} | own


@pytest.fixture
def program(folder: Path, environment: Mapping[str, str]) -> Run:
    """The program on the small base, run to its end: `program(*arguments, typed=..., **environment)`."""

    def run(*arguments: str, typed: bytes | None = b"", **more: str) -> subprocess.CompletedProcess[bytes]:
        return subprocess.run(
            [sys.executable, "-m", "shell", "--kb", str(folder), *arguments],
            input=typed,
            capture_output=True,
            timeout=60,
            env={**environment, **more},
            check=False,
        )

    return run
