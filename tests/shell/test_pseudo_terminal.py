"""The program on a real pseudo-terminal: a few whole scenes."""

import re
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import pexpect
import pytest

CODES = re.compile(r"\x1b\[[0-?]*[ -/]*[@-~]|\x1b[=>]|\x1b\][^\x07]*\x07")


def start(folder: Path, environment: Mapping[str, str], **more: str) -> pexpect.spawn:
    """The program in a terminal of 60 columns."""
    return pexpect.spawn(
        sys.executable,
        ["-m", "shell", "--kb", str(folder)],
        env={**environment, **more},
        encoding="utf-8",
        dimensions=(40, 60),
        timeout=30,
    )


@pytest.fixture
def child(folder: Path, environment: Mapping[str, str]) -> Iterator[pexpect.spawn]:
    """The program, waiting at its first question."""
    one = start(folder, environment)
    one.expect("Which kind")
    yield one
    one.close(force=True)


def ready(child: pexpect.spawn) -> None:
    """Wait for the prompt: tell it where the cursor is, as a terminal does when asked; then it draws its toolbar."""
    child.expect(r"\x1b\[6n")
    child.send("\x1b[20;1R")
    child.expect("F2 why")


def answer(child: pexpect.spawn, line: str, then: str) -> None:
    """Type a line when the prompt is there, and wait for what comes of it."""
    ready(child)
    child.send(f"{line}\r")
    child.expect(then)


def leave(child: pexpect.spawn) -> int | None:
    """Leave with Ctrl-D; the exit code."""
    ready(child)
    child.send("\x04")
    child.expect(pexpect.EOF)
    child.close()
    return child.exitstatus  # type: ignore[no-any-return]  # the package declares nothing here


def test_answers_lead_on_and_ctrl_d_leaves(child: pexpect.spawn) -> None:
    """A question after the other; leaving is code 0 and says what became of the answers."""
    answer(child, "lamp", "What does it do")
    answer(child, "dead", "Does it show")
    assert leave(child) == 0


def test_ctrl_c_asks_again(child: pexpect.spawn) -> None:
    """The program goes on; the next line is taken as if nothing had been."""
    ready(child)
    child.send("oth\x03")
    ready(child)
    child.send("lamp\r")
    child.expect("What does it do")
    assert leave(child) == 0


def test_a_wrong_line_stays_to_be_mended(child: pexpect.spawn) -> None:
    """The refusal says what is accepted, and a backspace later the line is right."""
    answer(child, "lampx", "none of the answers")
    ready(child)
    child.send("\x7f\r")
    child.expect("What does it do")


def test_why_on_a_key(child: pexpect.spawn) -> None:
    """F2 says why, and asks again."""
    ready(child)
    child.send("\x1bOQ")
    child.expect("Why: kind")
    assert leave(child) == 0


def test_no_colour_where_none_is_wanted(folder: Path, environment: Mapping[str, str]) -> None:
    """With NO_COLOR not one code of colour or weight is sent."""
    one = start(folder, environment, NO_COLOR="1")
    one.expect("Which kind")
    sent = one.before + one.after
    ready(one)
    sent += one.before
    one.close(force=True)
    assert not re.search(r"\x1b\[(?:1|2|4|9[0-7]|3[0-7])(?:;\d+)*m", sent)


def test_a_dumb_terminal_gets_the_plain_dialogue(folder: Path, environment: Mapping[str, str]) -> None:
    """No codes at all; a wrong line is met with a sentence and another may be typed."""
    one = start(folder, environment, TERM="dumb")
    one.expect("unsure, later")
    assert not CODES.search(one.before)
    one.send("purple\n")
    one.expect("none of the answers")
    one.send("lamp\n")
    one.expect("What does it do")
    one.sendeof()
    one.expect(pexpect.EOF)
    one.close()
    assert one.exitstatus == 0
