"""Forms in one line: numbers or words with what is so; the rest is as the form takes for granted."""

import pytest

from engine.session import Fill, Session
from shell.form_line import fill_in
from shell.names import Refusal
from tests.small import TEXT, base_from

WIDER = (
    TEXT.replace("items: [light.other]", "items: [light.other, light.high-this, light.high-other]")
    .replace(
        "  smell: {kind",
        """  light.high-this: {kind: symptom, title: "high beam, left side", ask: How?, outcomes:
    {works: {say: Works., usual: 0.9}, dead: {say: Dead.}, dim: {say: Dim.}}}
  light.high-other: {kind: symptom, title: "high beam, right side", ask: How?, outcomes:
    {works: {say: Works., usual: 0.9}, dead: {say: Dead.}, dim: {say: Dim.}}}
  smell: {kind""",
    )
    .replace(
        "      light.other: [battery,",
        "      light.high-this: [battery]\n      light.high-other: [battery]\n      light.other: [battery,",
    )
    .replace("chain: [battery, bulb], paths: {}", "chain: [battery, bulb], paths: {}")
)
STEP = Fill("lights", ("light.other", "light.high-this", "light.high-other"))


@pytest.fixture(scope="module")
def wider() -> Session:
    """A job on the small base with a form of three lights."""
    return Session(base_from(WIDER))


def said(session: Session, line: str) -> list[str | None]:
    """The outcomes that a line gives, in the order of the form."""
    filled = fill_in(session, STEP, line)
    assert not isinstance(filled, Refusal), filled
    return [filled[item].outcome for item in STEP.items]


MIXED = WIDER.replace(", rest: works}", "}").replace(
    "{works: {say: Works., usual: 0.9}, dead: {say: Dead.}, dim: {say: Dim.}}}\n  smell",
    "{fine: {say: Fine., usual: 0.9}, dead: {say: Dead.}, dim: {say: Dim.}}}\n  smell",
)


@pytest.mark.parametrize("line", ["", "none", "fine", "works"])
def test_a_form_that_names_no_rest_takes_the_first_of_each(line: str) -> None:
    """Where lines have different words for nothing, each gets its own."""
    session = Session(base_from(MIXED))
    assert said(session, line) == ["works", "works", "fine"]
    assert said(session, "1 dead") == ["dead", "works", "fine"]


@pytest.mark.parametrize("line", ["", "  ", "rest", "all", "none", "works", "Works"])
def test_nothing_named_means_all_as_taken_for_granted(wider: Session, line: str) -> None:
    """An empty line, `rest`, `all`, `none` or the usual outcome itself say that nothing is wrong."""
    assert said(wider, line) == ["works", "works", "works"]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("1 dead", ["dead", "works", "works"]),
        ("1 dead, 3 dim", ["dead", "works", "dim"]),
        ("1 dead 3 dim", ["dead", "works", "dim"]),
        ("2 3 dead", ["works", "dead", "dead"]),
        ("2 and 3 are dead", ["works", "dead", "dead"]),
        ("high beam, right side dead", ["works", "works", "dead"]),
        ("other light dead; left dim", ["dead", "dim", "works"]),
        ("3 unsure", ["works", "works", None]),
        ("3 ?", ["works", "works", None]),
        ("unsure", [None, None, None]),
        ("1 DEAD", ["dead", "works", "works"]),
        ("1", ["dead", "works", "works"]),
    ],
)
def test_numbers_and_words_name_lines_and_an_outcome_follows(
    wider: Session, line: str, expected: list[str | None]
) -> None:
    """Lines go by number or words of their titles, in any number before an outcome."""
    assert said(wider, line) == expected


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("high beam dead", "2 high beam, left side"),
        ("4 dead", "from 1 to 3"),
        ("dead", "Which one is dead?"),
        ("2", "dead or dim?"),
        ("1 dim", "cannot be dim"),
        ("fog dead", "none of these"),
        ("99999999999999999999 dead", "from 1 to 3"),
    ],
)
def test_what_is_not_clear_is_refused_with_what_is_accepted(wider: Session, line: str, hint: str) -> None:
    """Nothing is guessed: a line that could mean two things, or none, is sent back with a hint."""
    found = fill_in(wider, STEP, line)
    assert isinstance(found, Refusal) and hint in found.message
