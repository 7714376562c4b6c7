"""The hidden fault leaks nowhere: not by lists, refusals, the process list, files, error texts or the car in print."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from engine.rehearsal import Car, hide
from shell.layout import text_of
from shell.names import Refusal
from shell.rehearse import Practice
from tests.shell.conftest import Run
from tests.small import small_base

FAULTS = ("blown", "green", "broken", "rusty", "green-and-broken")
TALK = ("help", "list", "list small", "find fuse", "suspects", "suspects plug", "known", "spend", "declare", "nonsense",
        "declare nonsense", "trace", "why", "standing", "doubt broken", "remark it is the fuse")  # fmt: skip


def _said(practice: Practice, line: str) -> str:
    found = practice.take(line)
    return found.message if isinstance(found, Refusal) else "\n".join(text_of(found))


def _alike(tmp_path: Path) -> list[Practice]:
    """Cars of different faults whose drivers say the same."""
    cars = [hide(small_base(), seed, fault, "lamp", "dead") for fault in FAULTS for seed in range(4)]
    groups: dict[tuple[tuple[str, str], ...], list[Car]] = {}
    for car in cars:
        groups.setdefault(tuple(sorted(car.opening.told.items())), []).append(car)
    chosen = max(groups.values(), key=lambda group: len({car.fault for car in group}))
    assert len({car.fault for car in chosen}) >= 3
    return [Practice(car, 80, tmp_path / "rehearsals.jsonl") for car in chosen]


@pytest.mark.parametrize("line", TALK)
def test_talk_is_the_same_whatever_is_hidden(line: str, tmp_path: Path) -> None:
    """Only the answers to questions, and declaring, tell one fault from another."""
    assert len({_said(practice, line) for practice in _alike(tmp_path)}) == 1


def test_a_wrong_declaration_says_the_same_whatever_is_hidden(tmp_path: Path) -> None:
    """Nothing but that the lamp is as before."""
    said = {_said(one, "declare flat battery") for one in _alike(tmp_path)}
    assert len(said) == 1


def test_the_car_in_print_keeps_it(car: Car) -> None:
    """An error report that prints the car shows neither fault nor answers."""
    for text in (repr(car), str(car), f"{car!r}"):
        assert text == "Car(seed=3, technology='lamp', complaint='dead')"


def test_process_list_and_files_keep_it(
    folder: Path,
    environment: Mapping[str, str],
    tmp_path: Path,
) -> None:
    """While a rehearsal runs, its command line and environment do not name the fault; no file does, then or later."""
    command = [sys.executable, "-m", "shell", "--kb", str(folder), "rehearse", "--fault", "--technology", "lamp"]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=dict(environment)
    ) as running:
        assert running.stdin is not None and running.stdout is not None
        running.stdin.write(b"rusty\nhelp\n")
        running.stdin.flush()
        shown = b""
        while b"> help" not in shown:
            shown += os.read(running.stdout.fileno(), 65536)
        for name in ("cmdline", "environ"):
            seen = Path(f"/proc/{running.pid}/{name}")
            assert not seen.exists() or b"rusty" not in seen.read_bytes()
        assert b"rusty" not in shown and b"earth" not in shown
        rest, wrong = running.communicate(b"reveal\n")
    assert b"rusty earth" in rest and wrong == b""
    assert (tmp_path / "data" / "rehearsals.jsonl").exists()
    for path in [*(tmp_path / "data").rglob("*"), *(tmp_path / "state").rglob("*")]:
        assert not path.is_file() or (b"rusty" not in path.read_bytes() and b"earth" not in path.read_bytes())


def test_a_fault_on_the_command_line_is_refused_and_not_repeated(program: Run) -> None:
    """It could be seen in the process list; the sentence says how to do it instead."""
    done = program("rehearse", "--fault", "rusty")
    assert done.returncode == 2 and b"--fault alone" in done.stderr
    assert b"rusty" not in done.stderr + done.stdout and b"earth" not in done.stderr + done.stdout


@pytest.mark.parametrize("typed", [b"rust\xc3\xbf\n", b"rusti\n", b"green\xff\n", b"plug\n", b"\n", b""])
def test_a_slip_of_the_trainer_is_not_repeated(program: Run, typed: bytes) -> None:
    """Neither what was typed nor what was meant is said where the trainee can read it."""
    done = program("rehearse", "--fault", typed=typed)
    assert done.returncode == 2 and b"Traceback" not in done.stderr
    told = done.stdout + done.stderr
    assert b"rusty" not in told and b"green" not in told and b"plug" not in told


def test_the_trainer_types_unseen(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """On a terminal the fault is read without echo."""
    from shell import pipe, rehearse

    asked = []
    monkeypatch.setattr(pipe, "is_terminal", lambda *_: True)
    monkeypatch.setattr("getpass.getpass", lambda prompt: asked.append(prompt) or "rusty earth")
    assert rehearse._fault(small_base()) == "rusty"
    assert len(asked) == 1 and capsys.readouterr().out == ""
