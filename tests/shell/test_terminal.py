"""The terminal's prompt, in-process: keys go in through a pipe, and nothing is drawn."""

import contextlib
from collections.abc import Iterator
from typing import Any

import pytest
from prompt_toolkit.application import create_app_session
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import DummyOutput

from engine.session import End, Session
from shell.dialogue import Desk, converse
from shell.layout import Rows, text_of
from shell.names import Refusal
from shell.terminal import Prompt
from tests.small import small_base

CTRL_C, CTRL_D, CTRL_U, F1, F2, ENTER = "\x03", "\x04", "\x15", "\x1bOP", "\x1bOQ", "\r"


@pytest.fixture
def keys() -> Iterator[PipeInput]:
    """A keyboard: `keys.send_text` before the prompt is made."""
    with create_pipe_input() as source, create_app_session(input=source, output=DummyOutput()):
        yield source


def prompt(**more: Any) -> Prompt:
    """A prompt whose lines are remembered in memory only."""
    return Prompt(past=InMemoryHistory(), **more)


@pytest.fixture
def job() -> Session:
    """A job on the small base."""
    return Session(small_base())


def test_a_line_is_read(keys: PipeInput, job: Session) -> None:
    """What is typed comes back."""
    keys.send_text("lamp\r")
    assert prompt().read(job) == "lamp"


def test_ctrl_c_clears_the_line_and_asks_again(keys: PipeInput, job: Session) -> None:
    """It never leaves; and the line that was cleared comes back with arrow up."""
    keys.send_text(f"half a line{CTRL_C}lamp{ENTER}")
    one = prompt()
    assert one.read(job) == "lamp"
    assert "half a line" in one.editor.history.get_strings()


def test_two_ctrl_c_at_an_empty_prompt_hint_at_the_way_out(
    keys: PipeInput, job: Session, capsys: pytest.CaptureFixture[str]
) -> None:
    """Who wants to leave is told how."""
    keys.send_text(f"{CTRL_C}{CTRL_C}lamp{ENTER}")
    assert prompt().read(job) == "lamp"
    assert "Ctrl-D leaves" in capsys.readouterr().out


def test_ctrl_d_leaves(keys: PipeInput, job: Session) -> None:
    """At once when nothing is lost by it."""
    keys.send_text(CTRL_D)
    with pytest.raises(EOFError):
        prompt(kept=True).read(job)


def test_ctrl_d_asks_once_when_answers_are_not_kept(
    keys: PipeInput, job: Session, capsys: pytest.CaptureFixture[str]
) -> None:
    """The first is met with a word; the second leaves."""
    from engine.session import Answer

    keys.send_text(f"{CTRL_D}{CTRL_D}")
    with pytest.raises(EOFError):
        prompt().read(job.answer("kind", Answer("lamp")))
    assert "not kept" in capsys.readouterr().out


def test_ctrl_d_in_a_line_does_not_leave(keys: PipeInput, job: Session) -> None:
    """It deletes the character under the cursor, as in any line editor."""
    keys.send_text(f"lampx\x02{CTRL_D}{ENTER}")
    assert prompt(kept=True).read(job) == "lamp"


def test_what_was_refused_stands_ready_to_be_mended(keys: PipeInput, job: Session) -> None:
    """A wrong line is shown again: a key mends it, and a new word takes its place."""
    keys.send_text(f"lampx{ENTER}")
    one = prompt()
    assert one.read(job) == "lampx"
    one.refuse(Refusal("no such answer"))
    keys.send_text(f"\x7f{ENTER}")
    assert one.read(job) == "lamp"
    one.refuse(Refusal("no such answer"))
    keys.send_text(f"other{ENTER}")
    assert one.read(job) == "other"


def test_f1_and_f2_are_help_and_why_and_keep_what_was_typed(keys: PipeInput, job: Session) -> None:
    """The keys give the commands; the half-typed line is still there afterwards."""
    one = prompt()
    keys.send_text(f"la{F2}")
    assert one.read(job) == "why"
    keys.send_text(f"mp{ENTER}")
    assert one.read(job) == "lamp"
    keys.send_text(F1)
    assert one.read(job) == "help"
    keys.send_text(f"hot{F1}")
    assert one.read(job) == "help hot"


@pytest.mark.timeout(30)  # a prompt that is left waiting for keys would wait for ever
def test_a_whole_job_on_the_keyboard(keys: PipeInput, job: Session) -> None:
    """From the first question to the verdict, with a wrong line mended and a test put off on the way."""
    written: Rows = []
    one = prompt(kept=True)
    keys.send_text(f"lamp{ENTER}deda{ENTER}{CTRL_U}dead{ENTER}yes{ENTER}{ENTER}yes{ENTER}later{ENTER}")
    keys.send_text(f"understood{ENTER}full{ENTER}{CTRL_D}")
    with contextlib.suppress(EOFError):
        job = converse(job, Desk(one.read, written.extend, one.refuse, lambda: 60))
    assert isinstance(job.step, End) and job.told["volts"] == "full"
    assert "broken filament" in " ".join(text_of(written))
