"""Kills the program at random moments of a session on a pseudo-terminal, and counts what was lost.

`python -m tests.benchmarks.kills [--kills 200] [--seed 1] [--quick] [--json] [--shipped]`: an answer counts as
acknowledged when the screen has shown that it was noted; after each kill the journal is checked and the job is resumed
where it stood. On the small base of the tests, or on the shipped one.
"""

from __future__ import annotations

import argparse
import contextlib
import fcntl
import io
import json
import multiprocessing
import os
import random
import re
import select
import signal
import sqlite3
import struct
import sys
import tempfile
import termios
import time
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from functools import reduce
from pathlib import Path

import kb
from engine.document import document, to_json
from engine.events import Event, Remarked, apply
from engine.journal import Journal
from engine.loading import load
from engine.mend_events import Judged
from engine.replay import replay
from engine.session import Ask, Fill, Session, Warn
from engine.steps import Beware, Cured, HowIsIt, HowOpened, Inspect, NameVehicle, Task, Work
from shell.commands import Do, understand
from shell.keeping import FILE
from shell.main import main as lampwright
from tests.small import TEXT

NOTED = re.compile(r"Noted\b|Work safely|Taken back:|The remark is kept|From now on:|Every step is kept")
REMARKED = re.compile("The remark is kept")
PATIENCE = 30.0  # seconds for the program to show that it took a line
AT_MOST = 5  # times something is typed between two kills
MENDING = 30  # events after which repairs are begun


@dataclass
class Tally:
    """What the kills did.

    `written` counts those that met the journal half written, `unseen` the events that were kept although the screen
    had not yet said so, `altered` the kills after which other events were found than those typed, `broken` those
    after which the database failed its check, `repairs` the repairs that were judged. `resumed_alike`: at the end,
    resuming gave what the events lead to.
    """

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    unseen: int = 0
    altered: int = 0
    broken: int = 0
    repairs: int = 0
    written: int = 0
    resumed_alike: bool = False
    seconds: float = 0.0

    @property
    def clean(self) -> bool:
        """Whether nothing was lost, altered or broken."""
        return self.resumed_alike and not (self.lost or self.altered or self.broken)


def lines(session: Session, number: int) -> tuple[str, ...]:
    """What is typed at a step: the opening; remarks, an answer taken back, figures; then repair after repair.

    Where the screen only shows the next step after a line, a remark follows it, of which the screen does speak.
    """
    remark = f"remark note {number}"
    match session.step:
        case Warn() | Beware():
            return ("understood",)
        case Fill():
            return ("all",)
        case Ask(question=question) if question in session.base.roles.opening:
            return ("1",)
    if session.mending.hand is not None:
        return _mending(session, remark)
    if number >= MENDING and session.verdict.actions:
        return ("mend",)
    return ((remark,), ("amend complaint",), (f"price hour-value {number % 90 + 1}",))[number // 2 % 3]


def _mending(session: Session, remark: str) -> tuple[str, ...]:
    """What is typed while a repair is in hand: every other one is in vain, and what worked does not last."""
    match session.step:
        case HowOpened():
            return ("two bolts on top, 20 min, 3 screws",)
        case NameVehicle():
            return ("van-12",)
        case Inspect():
            return ("none",)
        case Work(number=1, task=Task(stage="open" | "do" | "prove")):
            return ("took 2 screws, tin", "done", remark)
        case Work():
            return ("done", remark)
        case HowIsIt():
            return ("works" if len(session.mending.tried) % 2 else "unchanged", remark)
        case Cured():
            return ("unchanged", remark)
    return ("later", remark)


def play(device: str, argv: Sequence[str]) -> None:
    """Run the program on a terminal device, as in a window of its own. Runs in a process of its own."""
    os.setsid()
    terminal = os.open(device, os.O_RDWR)
    for descriptor in range(3):
        os.dup2(terminal, descriptor)
    sys.stdin, sys.stdout, sys.stderr = open(0, closefd=False), open(1, "w", closefd=False), open(2, "w", closefd=False)  # noqa: SIM115 - they last as long as the process
    os.environ.update(TERM="xterm", PROMPT_TOOLKIT_NO_CPR="1", XDG_STATE_HOME=argv[argv.index("--data") + 1])
    sys.exit(lampwright(argv))


@dataclass
class Bench:
    """A data folder, the script, and what should be in the journal."""

    folder: Path
    chance: random.Random
    rules: Path
    tally: Tally = field(default_factory=Tally)
    kept: list[Event] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Have the rule base and the program read before the first process needs them."""
        self.base = load([self.rules])
        self.common = ["--kb", str(self.rules), "--data", str(self.folder)]
        self.processes = multiprocessing.get_context("forkserver")
        self.processes.set_forkserver_preload(["tests.small", "shell.terminal", "shell.resume"])

    def round(self) -> None:
        """Start or resume, take some lines, kill at a random moment, and check the journal."""
        near, far = os.openpty()
        fcntl.ioctl(far, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 100, 0, 0))
        command = ["resume", "1"] if self.kept else ["diagnose"]
        process = self.processes.Process(target=play, args=(os.ttyname(far), [*self.common, *command]))
        process.start()
        try:
            sure, possible = self._talk(near)
        finally:
            assert process.pid is not None
            os.kill(process.pid, signal.SIGKILL)
            process.join()
        os.close(near)
        os.close(far)
        self._check(sure, possible)

    def _talk(self, near: int) -> tuple[list[Event], list[Event]]:
        """Type lines; gives the events that were acknowledged, and those that may have been kept beside them."""
        session, sure = replay(self.base, self.kept), list(self.kept)
        for _ in range(self.chance.randrange(AT_MOST)):
            events = self._type(near, session, lines(session, len(sure)))
            if not _seen(near, REMARKED if isinstance(events[-1], Remarked) else NOTED, PATIENCE):
                raise TimeoutError("the program has not answered; is the script out of step?")
            sure += events
            session = reduce(apply, events, session)
        if not sure or self.chance.random() < 0.1:  # sometimes while it starts
            time.sleep(self.chance.random() * 0.3)
        possible = self._type(near, session, lines(session, len(sure)))
        time.sleep(self.chance.random() * 0.08)
        noted = REMARKED if isinstance(possible[-1], Remarked) else NOTED
        return ([*sure, *possible], []) if _seen(near, noted, 0.0) else (sure, possible)

    def _type(self, near: int, session: Session, said: Sequence[str]) -> list[Event]:
        events: list[Event] = []
        for one in said:
            meaning = understand(session, session.step, one)
            assert isinstance(meaning, Do) and meaning.events, (one, meaning)
            session = reduce(apply, meaning.events, session)
            events += meaning.events
        os.write(near, "".join(f"{one}\r" for one in said).encode())
        return events

    def _check(self, sure: list[Event], possible: list[Event]) -> None:
        tally, path = self.tally, self.folder / FILE
        tally.kills += 1
        tally.acknowledged += len(sure) - len(self.kept)
        tally.written += path.with_name(f"{FILE}-journal").exists()
        if not path.exists():
            tally.lost += len(sure)
            return
        with Journal(path) as journal:
            found = [entry.event for entry in journal.entries(1)]
        with contextlib.closing(sqlite3.connect(path)) as raw:
            tally.broken += raw.execute("PRAGMA integrity_check").fetchall() != [("ok",)]
        tally.lost += max(0, len(sure) - len(found))
        tally.unseen += max(0, len(found) - len(sure))
        tally.altered += found != [*sure, *possible][: len(found)]
        self.kept = [event for event in found if event is not None]

    def finish(self) -> None:
        """See whether the job, resumed, stands exactly where its events lead."""
        told = io.StringIO()
        was, sys.stdin = sys.stdin, io.StringIO("")
        with contextlib.redirect_stdout(told):
            lampwright([*self.common, "resume", "1", "--json"])
        sys.stdin = was
        self.tally.repairs = sum(isinstance(event, Judged) for event in self.kept)
        self.tally.resumed_alike = told.getvalue().strip() == to_json(document(replay(self.base, self.kept))).strip()


def _seen(near: int, wanted: re.Pattern[str], patience: float) -> bool:
    """Whether the screen shows something within so many seconds."""
    until, text = time.monotonic() + patience, ""
    while True:
        ready, _, _ = select.select([near], [], [], max(0.0, until - time.monotonic()))
        if not ready:
            return False
        text += os.read(near, 65536).decode(errors="replace")
        if wanted.search(text):
            return True


def measure(kills: int, seed: int, rules: Path | None = None) -> Tally:
    """So many kills, on a job begun anew in a folder of its own; on the small base, or another."""
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        small = Path(folder) / "kb"
        small.mkdir()
        (small / "small.yaml").write_text(TEXT)
        bench = Bench(Path(folder), random.Random(seed), rules or small)
        for _ in range(kills):
            bench.round()
        bench.finish()
    bench.tally.seconds = round(time.monotonic() - began, 1)
    return bench.tally


def main() -> int:
    """Run and tell; 1 when anything was lost."""
    told = argparse.ArgumentParser(prog="python -m tests.benchmarks.kills", description=__doc__)
    told.add_argument("--kills", type=int, default=200)
    told.add_argument("--seed", type=int, default=1)
    told.add_argument("--quick", action="store_true", help="40 kills")
    told.add_argument("--json", action="store_true")
    told.add_argument("--shipped", action="store_true", help="on the shipped rule base")
    args = told.parse_args()
    rules = Path(kb.__file__).parent if args.shipped else None
    tally = measure(min(args.kills, 40) if args.quick else args.kills, args.seed, rules)
    if args.json:
        print(json.dumps(asdict(tally), indent=2))
    else:
        for name, value in asdict(tally).items():
            print(f"{name.replace('_', ' '):>14}  {value}")
    return 0 if tally.clean else 1


if __name__ == "__main__":
    sys.exit(main())
