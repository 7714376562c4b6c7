"""Runs the program with a watch on it: what it may not do with a stranger's rule base is told, and memory at the end.

`python -m tests.benchmarks.watched FOLDER ARGUMENT...`: writing outside the folder, starting processes and connecting
are told on standard error as `watched: ...`.
"""

from __future__ import annotations

import os
import resource
import sys
from pathlib import Path

FORBIDDEN = ("os.system", "os.exec", "os.fork", "os.spawn", "subprocess.Popen", "socket.connect", "os.remove", "shutil")


def watch(folder: Path) -> None:
    """From now on, tell what is done that may not be done."""

    def look(event: str, arguments: tuple[object, ...]) -> None:
        if event == "open" and isinstance(arguments[2], int) and arguments[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT):
            path = Path(os.fsdecode(arguments[0])) if isinstance(arguments[0], (str, bytes)) else None
            if path is not None and not path.resolve().is_relative_to(folder) and "__pycache__" not in path.parts:
                sys.stderr.write(f"watched: writes {path}\n")
        elif event.startswith(FORBIDDEN):
            if event == "os.remove" and Path(os.fsdecode(arguments[0])).resolve().is_relative_to(folder):  # type: ignore[arg-type]
                return
            sys.stderr.write(f"watched: {event} {arguments!r}\n")

    sys.addaudithook(look)


def main() -> int:
    """Run the program watched; its exit code."""
    from shell.main import main as lampwright

    watch(Path(sys.argv[1]).resolve())
    try:
        return lampwright(sys.argv[2:])
    finally:
        sys.stderr.write(f"\nheld-mb {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.1f}\n")


if __name__ == "__main__":
    sys.exit(main())
