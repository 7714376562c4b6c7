"""The lines typed before: commands are kept on disk, answers and remarks only while the program runs."""

from __future__ import annotations

from pathlib import Path

import platformdirs
from prompt_toolkit.history import FileHistory, History, InMemoryHistory

from shell.commands import COMMANDS

# What somebody said of a car and its owner is no business of the next person at this keyboard.
PRIVATE = ("remark", "unsure", "later")


class Past(FileHistory):
    """Keeps commands on disk and everything in memory."""

    def store_string(self, string: str) -> None:
        """Write a line to disk, if it is a command that tells nothing of the car."""
        word = string.split(" ", 1)[0].casefold()
        if word not in COMMANDS or word in PRIVATE:
            return
        try:
            super().store_string(string)
        except OSError:
            return  # the line stays in memory; a full disk is told of where answers are kept


def history(folder: Path | None = None) -> History:
    """The history in the state folder, or one that lasts as long as the program where that cannot be written."""
    try:
        place = folder or platformdirs.user_state_path("lampwright")
        place.mkdir(parents=True, exist_ok=True)
        path = place / "lines"
        path.touch(mode=0o600)
        path.read_bytes()
        return Past(path)
    except OSError:
        return InMemoryHistory()
