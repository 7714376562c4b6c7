"""On the shipped base: an invented car with two faults, mended over three sittings of which two end with a kill."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import cache
from pathlib import Path

from engine.base import Base
from engine.document import document, phase
from engine.journal import Journal
from engine.replay import replay
from engine.session import Session
from engine.steps import Cured
from tests.mending.car import job
from tests.retold import tell
from tests.shipped import shipped_base

FIRST, SECOND = ("fit-ballast-dry",), ("fit-tube",)


@cache
def played() -> tuple[Base, tuple[tuple[str, Session], ...]]:
    """The base, and the job in memory."""
    base = shipped_base()
    return base, tuple(job(base))


def test_both_faults_are_found_mended_and_closed() -> None:
    """The drowned ballast first; it does not cure; then the tube behind it, why the water came, the aim, the record."""
    _, lines = played()
    end = lines[-1][1]
    assert [one.repairs for one in end.mending.tried] == [FIRST] and end.mending.tried[0].result == "unchanged"
    assert end.mending.hand is not None and end.mending.hand.repairs == SECOND and end.mending.cured
    assert "ballast-look" in end.mending.tried[0].dropped and "lamp-volts-open" not in end.mending.tried[0].dropped
    assert isinstance(end.step, Cured) and end.step.closed and "water-way-in" not in end.open_causes
    assert end.mending.seen["water-way-in"] == "mended"
    assert len(end.mending.readings) == 2 and end.mending.aimed and not end.mending.taken


def test_the_first_fault_stays_possible_after_its_repair() -> None:
    """Unlikely, not impossible: the new ballast may be a dud."""
    _, lines = played()
    after = next(session for line, session in lines if line == "unchanged")
    assert 0 < after.belief.share("ballast-wet") < 0.2
    assert after.verdict.faults[0] != "ballast-wet"


def test_the_document_tells_the_job() -> None:
    """Phases come in their order, and the end lists both repairs with what the first made stale."""
    _, lines = played()
    phases = list(dict.fromkeys(phase(session) for _, session in lines))
    wanted = ["search", "mend", "prove", "cause", "refit", "aim", "cured", "closed"]
    assert phases == wanted
    found = document(lines[-1][1])
    assert [one.result for one in found.repaired] == ["unchanged", "works"] and found.repaired[0].stale
    assert found.spend.in_order is not None


def test_three_sittings_with_a_kill_in_the_first_two(tmp_path: Path) -> None:
    """Killed in the middle of the first repair and in the middle of the proof of the second: nothing is lost."""
    base, lines = played()
    texts = [line for line, _ in lines]
    in_repair = texts.index("mend") + 5
    in_proof = len(texts) - 1 - texts[::-1].index("works") - 2
    assert phase(lines[in_repair - 1][1]) == "mend" and phase(lines[in_proof - 1][1]) == "prove"
    data = tmp_path / "data"
    _sitting(data, ["diagnose"], texts[:in_repair], kill=True)
    _sitting(data, ["resume"], texts[in_repair:in_proof], kill=True)
    _sitting(data, ["resume"], texts[in_proof:], kill=False)
    with Journal(data / "journal.sqlite") as journal:
        (listed,) = journal.jobs()
        back = replay(base, (entry.event for entry in journal.entries(listed.job)))
    assert listed.state == "closed"
    assert back.mending == lines[-1][1].mending and back.answers == lines[-1][1].answers


def _sitting(data: Path, command: list[str], lines: list[str], kill: bool) -> None:
    """Type lines into the program; `kill` ends it without warning as soon as the last of them has been taken."""
    program = [sys.executable, "-m", "shell", "--data", str(data), *command]
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        program, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=environment, text=True
    ) as running:
        assert running.stdin is not None and running.stdout is not None
        # The look at the end is echoed only once everything before it has been kept.
        running.stdin.write("".join(f"{line}\n" for line in [*lines, "took"]))
        running.stdin.flush()
        if not kill:
            running.stdin.close()
        for shown in running.stdout:
            if kill and shown.strip() == "> took":
                running.kill()
                break
        running.stdout.read()
    assert running.returncode == (-9 if kill else 0)


def test_a_sound_charging_voltage_clears_overcharging_but_not_a_surge() -> None:
    """What a jump start did is over; the volts of now say nothing of it."""
    dead = "light-source=halogen complaint=dead side=both beam=low both-bulbs=both"
    assert "over-voltage" in tell(dead).advice
    assert "over-voltage" not in tell(dead, "battery-running=14.1V").advice
    assert "surge" in tell(dead, "recent-work=jump-start battery-running=14.1V").advice
