"""Layout: whatever the text, no row is wider than the screen and no word is lost."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shell.layout import bar, bullets, fit, heading, labelled, numbered, para, row, run_in, text_of

TEXTS = st.text(st.characters(codec="ascii", categories=("L", "N", "P", "Z")), max_size=200)
WIDTHS = st.integers(40, 100)


@given(TEXTS, WIDTHS)
def test_no_row_is_wider_than_the_screen(text: str, width: int) -> None:
    """Paragraphs, lists, labels and headings all keep to the width."""
    rows = [
        *para(text, width, lead="12 lead  ", indent=4),
        *bullets([text], width),
        *numbered([text] * 12, width),
        *labelled("Mind", [text, text], width),
        *run_in(" 1 ", "head", text, width),
        *heading(text, width, "takes 12 min"),
    ]
    assert max(map(len, text_of(rows))) <= width


@given(TEXTS, WIDTHS)
def test_no_word_is_lost(text: str, width: int) -> None:
    """Putting the rows together again gives the text, but for spaces."""
    assert "".join("".join(text_of(para(text, width))).split()) == "".join(text.split())


def test_a_bar_shows_even_a_small_share_and_keeps_its_length() -> None:
    """A suspect with odds is never shown as if it had none."""
    assert {len(bar(share)) for share in (0, 0.004, 0.01, 0.5, 1)} == {16}
    assert bar(0.01).startswith("=.") and bar(0).startswith("..") and bar(1) == "=" * 16


def test_text_is_set_between_the_narrowest_and_the_widest() -> None:
    """A huge or a tiny screen does not make unreadable lines."""
    assert (fit(10), fit(60), fit(500)) == (40, 60, 100)


def test_a_look_that_does_not_exist_is_an_error() -> None:
    """A misspelt look would otherwise fail without a word."""
    with pytest.raises(ValueError, match="stron"):
        row(("stron", "x"))
