"""Files of answers: taken as they are meant, and what is wrong is said with its place."""

from pathlib import Path

import pytest

from engine.problems import KnowledgeError
from engine.session import Session
from shell.answers_file import read
from tests.small import small_base

WHOLE = """\
kind: lamp
complaint: dead
showing: no
light.other: 1
volts: {answer: full, showing: yes}
fuse-look: later
smell: unsure
remarks: [loom looks new, "12:30"]
prices:
  settings: {hour-value: 90}
  parts: {new-bulb: 12.5}
  access: {open: 7}
"""


def session_of(text: str, where: Path) -> Session:
    """The session that a text gives on the small base."""
    path = where / "answers.yaml"
    path.write_text(text, encoding="utf-8")
    return read(Session(small_base()), str(path))


def problems(text: str, where: Path) -> list[tuple[int, int, str]]:
    """Line, column and code of everything wrong with a text."""
    with pytest.raises(KnowledgeError) as caught:
        session_of(text, where)
    return [(one.place.line, one.place.column, one.code) for one in caught.value.problems]


def test_everything_a_person_can_say_can_stand_in_a_file(tmp_path: Path) -> None:
    """Answers, numbers of answers, unsure, later, whether the fault showed, remarks and prices."""
    session = session_of(WHOLE, tmp_path)
    assert session.told == {
        "kind": "lamp",
        "complaint": "dead",
        "showing": "no",
        "light.other": "works",
        "volts": "full",
    }
    assert session.answers["smell"].outcome is None and session.later == {"fuse-look"}
    assert session.answers["volts"].hidden is False
    assert session.remarks == ("loom looks new", "12:30")
    assert session.prices.settings == {"hour-value": 90} and session.prices.access == {"open": 7}
    assert session.prices.parts == {"new-bulb": 12.5}


def test_an_empty_file_is_a_job_not_begun(tmp_path: Path) -> None:
    """It gives the first question."""
    assert session_of("", tmp_path).step == Session(small_base()).step
    assert session_of("# nothing yet\n", tmp_path).answers == {}


def test_yes_no_and_off_keep_their_meaning(tmp_path: Path) -> None:
    """They are words here, not true and false."""
    assert session_of("showing: no\n", tmp_path).told == {"showing": "no"}


def test_all_that_is_wrong_is_said_at_once_with_its_place(tmp_path: Path) -> None:
    """Unknown questions and outcomes, wrong shapes and prices; in one run, by line and column."""
    text = (
        "kindd: lamp\ncomplaint: dad\nshowing: [no]\nvolts: {answer: full, shown: yes}\n"
        "ohms: {answer: low, showing: maybe}\n"
        "prices: {settings: {hour: 3}, parts: {new-bulb: lots}, axess: {open: 1}}\nremarks: [{a: b}]\n"
    )
    assert problems(text, tmp_path) == [
        (1, 1, "unknown-question"),
        (2, 12, "bad-answer"),
        (3, 1, "bad-answer"),
        (4, 23, "unknown-key"),
        (5, 30, "bad-showing"),
        (6, 21, "unknown-name"),
        (6, 49, "bad-price"),
        (6, 63, "bad-price"),
        (7, 11, "bad-remark"),
    ]


def test_the_nearest_question_and_outcome_are_named(tmp_path: Path) -> None:
    """A slip of the finger is met with what was probably meant."""
    with pytest.raises(KnowledgeError) as caught:
        session_of("fuse-lok: open\nkind: lamb\n", tmp_path)
    assert 'did you mean "fuse-look"?' in str(caught.value) and 'did you mean "lamp"?' in str(caught.value)


@pytest.mark.parametrize("text", ["- a\n- b\n", "a: [", "kind: lamp\nkind: other\n", "kind: &a lamp\n", "\x00"])
def test_what_is_no_file_of_answers_is_refused(text: str, tmp_path: Path) -> None:
    """A list, broken YAML, a question twice, an anchor, a stray byte."""
    assert problems(text, tmp_path)


def test_order_in_the_file_makes_no_difference(tmp_path: Path) -> None:
    """The same answers upside down leave the same odds."""
    lines = ["kind: lamp", "complaint: dead", "fuse-look: open", "bulb-look: whole", "light.other: dead"]
    there = session_of("\n".join(lines), tmp_path).belief.ranking()
    back = session_of("\n".join(reversed(lines)), tmp_path).belief.ranking()
    assert [fault for fault, _ in there] == [fault for fault, _ in back]
    assert [share for _, share in there] == pytest.approx([share for _, share in back])
