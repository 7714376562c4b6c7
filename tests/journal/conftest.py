"""What the journal's tests share: an open journal, and hands without special rights."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest

from engine.journal import Journal

NOBODY = 65534


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a journal may be made."""
    return tmp_path / "data" / "journal.sqlite"


@pytest.fixture
def journal(path: Path) -> Iterator[Journal]:
    """An empty journal."""
    with Journal(path) as one:
        yield one


@contextmanager
def without_rights() -> Iterator[None]:
    """Act as a plain user for a while: file modes do not bind root."""
    root = os.geteuid() == 0
    if root:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that a plain user can reach, unlike pytest's own."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o777)
    yield folder
    for one in (folder, *folder.rglob("*")):
        one.chmod(0o777)
    shutil.rmtree(folder)


@pytest.fixture
def plain_user() -> AbstractContextManager[None]:
    """To be entered by a test of file modes."""
    return without_rights()
