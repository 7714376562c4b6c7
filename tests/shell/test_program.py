"""The program as a process: pipes, files, exit codes, and what is not a terminal."""

import contextlib
import json
import os
import signal
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import jsonschema
import pytest

from shell import main
from tests.shell.conftest import Run

ANSWERS = b"lamp\ndead\nyes\n\nyes\n"


def test_answers_on_a_pipe_are_taken_line_by_line(program: Run) -> None:
    """The dialogue is written out plainly, and the end of the input gives a report and code 0."""
    done = program("diagnose", typed=ANSWERS)
    text = done.stdout.decode()
    assert done.returncode == 0 and not done.stderr
    assert "> lamp" in text and "How the suspects stand" in text and "The reasoning so far" in text
    assert b"\x1b" not in done.stdout and b"\r" not in done.stdout


def test_without_a_command_a_diagnosis_begins(program: Run) -> None:
    """`lampwright` alone is `lampwright diagnose`."""
    assert program(typed=ANSWERS).stdout == program("diagnose", typed=ANSWERS).stdout


def test_a_line_that_is_no_answer_ends_it_with_its_number(program: Run) -> None:
    """Going on would put later answers to the wrong questions; code 2, and what is accepted."""
    done = program(typed=b"lamp\npurple\ndead\n")
    assert done.returncode == 2
    assert b"Line 2" in done.stderr and b"1 dead, 2 dim" in done.stderr and b"Traceback" not in done.stderr


def test_a_pipe_and_a_file_come_to_the_same(program: Run, tmp_path: Path) -> None:
    """One core serves both: the documents are equal, but for the words in which the answers were given."""
    (tmp_path / "a.yaml").write_text("kind: lamp\ncomplaint: dead\nshowing: yes\nlight.other: works\nhave-meter: yes\n")
    piped = json.loads(program("diagnose", "--json", typed=ANSWERS).stdout)
    filed = json.loads(program("diagnose", "--json", "--answers", str(tmp_path / "a.yaml")).stdout)
    assert piped["trace"].pop("told") and filed["trace"].pop("told")
    assert piped == filed


def test_the_document_follows_its_written_schema(program: Run) -> None:
    """What `--json` writes is valid by what `--schema` writes, at several moments of a job."""
    schema = json.loads(program("diagnose", "--schema").stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    for answers in (b"", ANSWERS, ANSWERS + b"later\nunderstood\nfull\n", b"lamp\ndead\nyes\n1 dead\n"):
        document = json.loads(program("diagnose", "--json", typed=answers).stdout)
        jsonschema.validate(document, schema)


def test_answers_can_come_from_standard_input(program: Run) -> None:
    """`--answers -` reads the YAML there; empty, it gives the first question."""
    text = program("diagnose", "--answers", "-", typed=b"").stdout.decode()
    assert "Which kind?" in text and "1 lamp" in text
    assert "Complaint" in program("diagnose", "--answers", "-", typed=b"kind: lamp\n").stdout.decode()


def test_a_wrong_file_is_said_with_line_and_column(program: Run, tmp_path: Path) -> None:
    """Code 2, and no traceback."""
    (tmp_path / "a.yaml").write_text("kind: lamp\ncomplaint: dad\n")
    done = program("diagnose", "--answers", str(tmp_path / "a.yaml"))
    assert done.returncode == 2 and b"a.yaml:2:12: error[bad-answer]" in done.stderr and not done.stdout
    missing = program("diagnose", "--answers", str(tmp_path / "none.yaml"))
    assert missing.returncode == 2 and b"cannot be read" in missing.stderr


def test_a_broken_rule_base_is_said_with_every_problem(program: Run, tmp_path: Path) -> None:
    """Laid over the other with --kb-add; code 2."""
    over = tmp_path / "over"
    over.mkdir()
    (over / "x.yaml").write_text("rules:\n  a: {when: {kind: lamp}, exclude: broken, because: So., source: invented}\n")
    done = program("--kb-add", str(over), "diagnose")
    assert done.returncode == 2 and b"x.yaml:2:27" in done.stderr and b"Traceback" not in done.stderr


def test_a_layer_over_the_base_is_used(program: Run, tmp_path: Path) -> None:
    """An entry of the same id replaces the one below it."""
    over = tmp_path / "over"
    over.mkdir()
    (over / "x.yaml").write_text(
        "questions:\n  kind: {kind: circumstance, title: kind, ask: Which sort of lamp?, outcomes: "
        "{lamp: {say: A lamp.}, other: {say: Another.}}}\n"
    )
    assert b"Which sort of lamp?" in program("--kb-add", str(over)).stdout


@pytest.mark.parametrize("arguments", [["--nonsense"], ["nonsense"], ["diagnose", "--answers"], ["--kb"]])
def test_wrong_usage_is_code_2(program: Run, arguments: list[str]) -> None:
    """And says how it is used."""
    done = program(*arguments)
    assert done.returncode == 2 and b"usage" in done.stderr and b"Traceback" not in done.stderr


def test_help_names_every_command_and_the_exit_codes(program: Run) -> None:
    """`--help` is all one needs to start."""
    text = program("--help").stdout.decode()
    assert all(name in text for name in main.COMMANDS) and "exit codes" in text and "130" in text


def test_the_table_of_commands_says_what_the_commands_say() -> None:
    """Help is in the table so that no module has to be read for it; both must stay the same."""
    full = main.parser(None)
    brief = main.parser("")
    assert full.format_help() == brief.format_help()


def test_plain_help_reads_no_heavy_library(environment: Mapping[str, str]) -> None:
    """The program starts fast: nothing that a command does not need is read."""
    code = (
        "import sys; from shell.main import main; main(['--help']); "
        "sys.exit(bool({'numpy', 'pydantic', 'prompt_toolkit', 'yaml'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True).returncode == 0


def test_a_pipe_reads_no_line_editor(folder: Path, environment: Mapping[str, str]) -> None:
    """Without a terminal prompt_toolkit is not even read, so that no escape code can come of it."""
    code = (
        f"import sys; from shell.main import main; main(['--kb', {str(folder)!r}]); "
        "sys.exit('prompt_toolkit' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], env=environment, input=ANSWERS, capture_output=True)
    assert done.returncode == 0


def _with_input(folder: Path, environment: Mapping[str, str], redirect: str) -> subprocess.CompletedProcess[bytes]:
    command = f'exec "$0" -m shell --kb "$1" {redirect}'
    return subprocess.run(
        ["sh", "-c", command, sys.executable, str(folder)], env=environment, capture_output=True, timeout=60
    )


@pytest.mark.parametrize("redirect", ["<&-", "</dev/null"])
def test_no_input_at_all_gives_the_first_question(folder: Path, environment: Mapping[str, str], redirect: str) -> None:
    """A closed or empty standard input is the end of the answers, not an error."""
    done = _with_input(folder, environment, redirect)
    assert done.returncode == 0 and b"Which kind?" in done.stdout and not done.stderr


def test_a_closed_output_is_no_error(folder: Path, environment: Mapping[str, str]) -> None:
    """Nor one whose reader has gone."""
    assert _with_input(folder, environment, "</dev/null >&-").returncode == 0
    assert not _with_input(folder, environment, "</dev/null | head -n 1 >/dev/null").stderr


def test_what_is_not_text_is_said_so(program: Run) -> None:
    """Bytes that are no UTF-8 end it with a sentence; so does a line without end."""
    odd = program(typed=b"lamp\n\xff\xfe\n", PYTHONUTF8="1")
    assert odd.returncode == 2 and b"Traceback" not in odd.stderr
    long = program(typed=b"x" * 100_000)
    assert long.returncode == 2 and b"longer than" in long.stderr


def test_codes_in_an_answer_do_not_reach_the_screen(program: Run) -> None:
    """An escape sequence typed or piped in is not sent back."""
    done = program(typed=b"lamp\nremark \x1b[2Jgone\n")
    assert done.returncode == 0 and b"\x1b" not in done.stdout


def test_an_interrupt_ends_a_pipe_with_code_130(folder: Path, environment: Mapping[str, str]) -> None:
    """And leaves no traceback."""
    process = subprocess.Popen(
        [sys.executable, "-m", "shell", "--kb", str(folder)],
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdin and process.stdout and process.stderr
    seen = b""
    while b"unsure, later" not in seen:
        seen += os.read(process.stdout.fileno(), 4096)
    for _ in range(6):  # a busy machine may be between two steps when the first one comes, as for a person
        process.send_signal(signal.SIGINT)
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(timeout=10)
            break
    assert process.returncode == main.INTERRUPTED
    assert b"Traceback" not in process.stderr.read()
    for stream in (process.stdin, process.stdout, process.stderr):
        stream.close()
