"""`rehearse` as a command: line by line, results kept, progress shown, trouble told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shell import rehearsals
from shell.layout import Rows, text_of
from shell.names import Refusal
from shell.rehearse import Practice
from tests.shell.conftest import Run


def _shown(found: Rows | Refusal) -> str:
    assert not isinstance(found, Refusal), found
    return "\n".join(text_of(found))


def test_a_question_is_answered_at_its_cost(practice: Practice) -> None:
    """By id or by words of its title; with its dangers; `spend` adds it up; a second time it is known."""
    assert "The car shows:" in _shown(practice.take("look at the bulb"))
    assert "Let it cool." in _shown(practice.take("ohms")) or "hot glass" not in _shown(practice.take("known"))
    assert practice.asked == ["bulb-look", "ohms"] and "7 min" in _shown(practice.take("spend"))
    assert isinstance(practice.take("ohms"), Refusal) and practice.asked == ["bulb-look", "ohms"]


def test_dangers_are_said_before_the_answer(practice: Practice) -> None:
    """As at a real car."""
    shown = _shown(practice.take("bulb-look"))
    assert "Let it cool." in shown and shown.index("Let it cool.") < shown.index("The car shows:")


def test_questions_can_be_listed_and_found(practice: Practice) -> None:
    """By theme, with minutes and cost; by words."""
    assert "small" in _shown(practice.take("list"))
    listed = _shown(practice.take("list small"))
    assert "fuse-look" in listed and "2 min, 2.0 u" in listed
    assert "plug-look" in _shown(practice.take("find plug")) and "fuse-look" not in _shown(practice.take("find plug"))


def test_a_wrong_declaration_goes_on_and_a_right_one_ends(practice: Practice) -> None:
    """The lamp is as before; the part was bought in vain; then it works, and all is told."""
    assert "as before" in _shown(practice.take("declare blown fuse")) and not practice.ended
    told = _shown(practice.take("declare broken"))
    assert practice.ended and "It was: broken filament" in told and "in vain: fit a fuse" in told
    assert "The program" in told and "At best" in told and "On average" in told and "Seed 3" in told
    (kept,) = rehearsals.read(practice.file)
    assert kept.cured and kept.declared == 2 and kept.seed == 3 and kept.questions == 0


@pytest.mark.parametrize("line", ["", "nonsense", "declare", "declare nonsense", "list nonsense"])
def test_what_means_nothing_costs_nothing(practice: Practice, line: str) -> None:
    """A sentence that says what can be typed, and all stays as it was."""
    assert isinstance(practice.take(line), Refusal)
    assert not practice.asked and not practice.repairs and not practice.ended


def test_who_leaves_leaves_nothing_behind(practice: Practice) -> None:
    """No result is kept."""
    practice.take("ohms")
    practice.take("leave")
    assert practice.ended and not practice.file.exists()


def test_on_a_pipe_and_then_progress(program: Run, tmp_path: Path) -> None:
    """A line is one thing typed; results add up in the folder of jobs."""
    for seed in ("1", "2"):
        done = program("rehearse", "--seed", seed, "--technology", "lamp", typed=b"fuse-look\nreveal\n")
        assert done.returncode == 0 and not done.stderr and b"Looking back" in done.stdout
    shown = program("rehearse", "--progress").stdout.decode()
    assert "seed 1" in shown and "seed 2" in shown and "0 of 2 found" in shown
    rows = json.loads(program("rehearse", "--progress", "--json").stdout)
    assert [row["seed"] for row in rows] == [1, 2] and rows[0]["questions"] == 1


def test_a_class_that_shares_a_seed_sees_the_same(program: Run) -> None:
    """Byte for byte."""
    typed = b"fuse-look\nplug-look\nvolts\n"
    assert (
        program("rehearse", "--seed", "7", typed=typed).stdout == program("rehearse", "--seed", "7", typed=typed).stdout
    )


@pytest.mark.parametrize(
    ("arguments", "typed", "words"),
    [
        (("--seed", "1"), b"fuse-look\nnonsense\n", b"Line 2"),
        (("--technology", "lamb"), b"", b'did you mean "lamp"'),
        (("--complaint", "deaf"), b"", b'did you mean "dead"'),
        (("--seed", "many"), b"", b"invalid int value"),
        (("--seed", "1"), b"\xff\xfe\n", b""),
        (("--fault", "--technology", "other"), b"rusty\n", b"no such car"),
    ],
)
def test_trouble_is_told_plainly(program: Run, arguments: tuple[str, ...], typed: bytes, words: bytes) -> None:
    """Code 2, what to do, never a traceback."""
    done = program("rehearse", *arguments, typed=typed)
    assert done.returncode == 2 and words in done.stderr and b"Traceback" not in done.stderr


def test_progress_tells_which_way_it_goes(tmp_path: Path) -> None:
    """Dear at first and cheap at the end is better; a line that was cut short is passed over."""
    from datetime import UTC, datetime

    from shell.render_rehearsal import progress_rows

    path = tmp_path / "data" / "rehearsals.jsonl"
    for number in range(6):
        money = 300.0 - 40 * number
        result = rehearsals.Result(
            datetime(2026, 1, 1 + number, tzinfo=UTC), number, "lamp", "dead", True, 3, 1, 30, money, 20, 100, 50
        )
        rehearsals.keep(path, result)
    with path.open("ab") as file:
        file.write(b'{"time": "2026-')
    results = rehearsals.read(path)
    assert len(results) == 6
    shown = "\n".join(text_of(progress_rows(results, 80)))
    assert "better" in shown and "6 of 6 found" in shown


def test_a_folder_that_cannot_be_written_is_no_reason_to_stop(
    practice: Practice, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The debrief is shown all the same, and a sentence says that nothing was kept."""
    (tmp_path / "file").write_text("", encoding="utf-8")
    practice.file = tmp_path / "file" / "rehearsals.jsonl"
    assert "Looking back" in _shown(practice.take("reveal"))
    assert "The result is not kept" in capsys.readouterr().err
