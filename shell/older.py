"""Fetches an older rule base: a folder as it stands, or a git revision written out elsewhere."""

from __future__ import annotations

import io
import subprocess
import tarfile
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from engine.problems import Trouble
from shell.bases import shipped

SHIPPED = "shipped"


@contextmanager
def older(wanted: str, folders: Sequence[Path]) -> Iterator[list[Path]]:
    """The folders of the older base: the folder named, the shipped one, or each of `folders` as it was in git.

    Raises Trouble when it is neither. A folder laid over that is not in that revision is left out.
    """
    if wanted == SHIPPED:
        yield [shipped()]
        return
    if Path(wanted).is_dir():
        yield [Path(wanted)]
        return
    with tempfile.TemporaryDirectory(prefix="lampwright-") as into:
        found = []
        for number, folder in enumerate(folders):
            at = Path(into) / str(number)
            if _write_out(wanted, folder, at, needed=number == 0):
                found.append(at)
        yield found


def _write_out(revision: str, folder: Path, into: Path, needed: bool) -> bool:
    """Write a folder as it was in a revision; whether it was there."""
    if not folder.is_dir():
        raise Trouble(f"{folder}: there is no such folder. Mend the path")
    inside = _git(folder, "rev-parse", "--show-prefix")
    if inside is None:
        if not needed:
            return False
        raise Trouble(f"{folder} is not kept in git, so {revision} cannot be looked up. Name a folder to compare with")
    commit = _git(folder, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
    if commit is None:
        if not needed:
            return False
        raise Trouble(f'"{revision[:60]}" is neither a folder nor a revision. `git log --oneline` lists revisions')
    # From within a folder git looks for that folder inside the tree named; from the top it takes the tree as it is.
    top = _git(folder, "rev-parse", "--show-toplevel") or b"."
    tree = f"{commit.decode().strip()}:{inside.decode().strip()}"
    packed = _git(Path(top.decode().strip()), "archive", "--format=tar", tree)
    if packed is None:
        if needed:
            raise Trouble(f"{folder} was not there yet in {revision}. Choose a later revision")
        return False
    into.mkdir()
    with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
        archive.extractall(into, filter="data")
    return True


def _git(folder: Path, *arguments: str) -> bytes | None:
    """What git says; None when it refuses."""
    try:
        done = subprocess.run(["git", "-C", str(folder), *arguments], capture_output=True, check=False, timeout=60)
    except FileNotFoundError:
        raise Trouble("git is not installed, so only folders can be compared. Name a folder") from None
    return done.stdout if done.returncode == 0 else None
