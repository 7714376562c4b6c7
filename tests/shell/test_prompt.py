"""The prompt's helpers: completion, toolbar and memory, each without a terminal."""

from pathlib import Path

import pytest
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.document import Document

from engine.session import Session, Warn
from shell.commands import COMMANDS
from shell.complete import Words, offers
from shell.past import history
from shell.toolbar import KEYS, State, state_of, toolbar
from tests.shell.jobs import OPENED, hold


def completions(session: Session, text: str) -> list[str]:
    """What is offered after a text."""
    found = Words(session).get_completions(Document(text), CompleteEvent())
    return [one.text for one in found]


def test_outcomes_and_commands_are_offered(session: Session) -> None:
    """By their start, whatever the case, outcomes first."""
    assert completions(session, "la") == ["lamp", "later"]
    assert completions(session, "LA") == ["lamp", "later"]
    assert completions(session, "") == []
    assert set(COMMANDS) < set(offers(session, session.step, "x"))


def test_what_follows_a_command_is_offered() -> None:
    """Faults after `doubt`, answered questions after `amend`, answers after `suppose`, words after `help`."""
    session = hold(OPENED).session
    assert completions(session, "doubt br") == ["broken"]
    assert completions(session, "amend sh") == ["showing"]
    assert completions(session, "suppose y") == ["yes"]
    assert "hot" in completions(session, "help h")
    assert completions(session, "price ne") == ["new-fuse", "new-plug", "new-bulb"]
    assert completions(session, "remark la") == []


def test_a_form_offers_outcomes_anywhere_in_the_line() -> None:
    """After each number or comma."""
    session = hold(OPENED[:3]).session
    assert completions(session, "1 de") == ["dead"]
    assert completions(session, "1 dead, 2 wo") == ["works"]


def test_a_warning_offers_its_two_words() -> None:
    """The words that count."""
    session = hold(OPENED).session
    assert {"understood", "decline"} < set(offers(session, Warn(("spark",), "volts"), "u"))


@pytest.mark.parametrize("width", [20, 40, 60, 120])
def test_the_toolbar_fits_the_screen(width: int) -> None:
    """However long the suspect's name."""
    state = State(12, "broken earth wire of the lamp and burnt plug", 0.424)
    text = toolbar(state, width)
    assert len(text) < width
    if width >= 60:
        assert KEYS in text and "12 answers" in text and "42 %" in text


def test_the_toolbar_shows_the_leader_once_there_are_suspects(session: Session) -> None:
    """Before the lamp is known there is nobody to name."""
    assert toolbar(state_of(session), 60) == f" 0 answers | {KEYS}"
    assert "broken fila" in toolbar(state_of(hold(OPENED).session), 60)


def test_only_commands_are_written_to_disk(tmp_path: Path) -> None:
    """Answers and remarks say something of a car and its owner; they stay in memory."""
    past = history(tmp_path)
    for line in ("broken", "remark plate seen", "doubt broken", "why"):
        past.append_string(line)
    assert list(past.get_strings()) == ["broken", "remark plate seen", "doubt broken", "why"]
    written = (tmp_path / "lines").read_text(encoding="utf-8")
    assert "doubt broken" in written and "why" in written and "plate" not in written and "+broken" not in written
    assert [line for line in history(tmp_path).load_history_strings()] == ["why", "doubt broken"]


def test_without_a_folder_lines_are_remembered_while_the_program_runs(tmp_path: Path) -> None:
    """A state folder that cannot be made is no reason not to work."""
    (tmp_path / "file").write_text("x", encoding="utf-8")
    past = history(tmp_path / "file" / "deeper")
    past.append_string("why")
    assert past.get_strings() == ["why"]
