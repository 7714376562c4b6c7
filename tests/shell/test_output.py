"""Output: looks only where they can show, and no control characters, whoever sent them."""

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shell import output
from shell.layout import row


class Screen(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """It does."""
        return True


@given(st.text())
def test_no_control_character_gets_through(text: str) -> None:
    """Only line ends and tabs are left of them; marks that turn the reading direction go too."""
    left = output.clean(text)
    assert not [char for char in left if (ord(char) < 32 and char not in "\n\t") or 127 <= ord(char) < 160]
    assert not set(left) & set("\u202a\u202b\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f")


def test_escape_sequences_go_as_a_whole() -> None:
    """A colour, a cursor movement or a new window title leave nothing behind."""
    assert output.clean("a\x1b[31mb\x1b[2Jc\x1b]0;title\x07d") == "abcd"


@pytest.mark.parametrize(
    ("environment", "expected"),
    [
        ({"TERM": "xterm"}, True),
        ({"TERM": "xterm", "NO_COLOR": "1"}, False),
        ({"TERM": "xterm", "NO_COLOR": ""}, True),
        ({"TERM": "dumb"}, False),
        ({}, False),
    ],
)
def test_looks_are_given_only_to_a_terminal_that_can_show_them(environment: dict[str, str], expected: bool) -> None:
    """NO_COLOR (when not empty: the convention of no-color.org, from memory), TERM=dumb and files get plain text."""
    assert output.colourful(Screen(), environment) is expected
    assert output.colourful(io.StringIO(), environment) is False
    assert output.colourful(None, environment) is False


def test_text_from_outside_cannot_give_itself_a_look(monkeypatch: pytest.MonkeyPatch) -> None:
    """Codes inside a row's text are dropped; those of its look are the program's own."""
    screen = Screen()
    monkeypatch.setattr("sys.stdout", screen)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    output.show([row(("strong", "a\x1b[5mb"), "\x1b[5mc")])
    assert screen.getvalue() == "\x1b[1mab\x1b[0mc\n"


def test_characters_that_the_screen_lacks_do_not_stop_the_program(monkeypatch: pytest.MonkeyPatch) -> None:
    """They show as a question mark."""
    raw = io.BytesIO()
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(raw, encoding="ascii"))
    output.say("12 Ω")
    assert raw.getvalue() == b"12 ?\n"


def test_no_screen_at_all_is_no_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program may be started without standard output."""
    monkeypatch.setattr("sys.stdout", None)
    output.say("nobody reads this")
    output.show([row("nor this")])
