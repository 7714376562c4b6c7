"""Rendering: what the screens say, at any width."""

from dataclasses import replace

import pytest

from engine.events import Answered, apply
from engine.session import Answer, Ask, End, Session
from shell import words
from shell.batch import report
from shell.commands import COMMANDS, Look
from shell.dialogue import shown
from shell.layout import Rows, text_of
from shell.render_step import reminder, step_rows
from shell.render_trace import trace
from shell.render_verdict import verdict
from tests.shell.jobs import OPENED, hold, play
from tests.small import TEXT, base_from, small_base


def flat(rows: Rows) -> str:
    """Rows as one string with single spaces."""
    return " ".join(" ".join(text_of(rows)).split())


@pytest.fixture(scope="module")
def opened() -> Session:
    """A job whose opening has been answered."""
    return hold(OPENED).session


def test_a_question_shows_all_that_is_needed(opened: Session) -> None:
    """What to do, with what, how long, what to mind, and every outcome with its number."""
    session = opened.answer("have-meter", Answer("yes")).amend("bulb-look")
    text = flat(step_rows(session.step, session, 60))
    for part in ("Look at the bulb", "takes 5 min", "How is the filament?", "hot glass: Let it cool.", "open (2 min)"):
        assert part in text
    assert "1 whole" in text and "2 broken" in text and "broken filament" in text


def test_a_caution_that_was_read_before_is_named_and_not_said_again(opened: Session) -> None:
    """The second test with hot glass does not repeat the whole text."""
    read = opened.answer("bulb-look", Answer("whole"))
    again = read.amend("bulb-look").answer("fuse-look", Answer("whole"))
    assert "Let it cool." in flat(step_rows(Ask("bulb-look"), again.amend("bulb-look"), 80))
    session = Session(small_base(), answers={"bulb-look": Answer("whole"), **opened.answers}, wanted="bulb-look")
    assert "hot glass: as said before" in flat(step_rows(session.step, session, 80))


def test_why_says_what_each_answer_would_do(opened: Session) -> None:
    """For each outcome the suspects before and after, and what asking is expected to save."""
    text = flat(shown(opened, Look("why", "ohms"), 80))
    assert "Acting now is expected to cost" in text and "saves" in text
    assert "1 low" in text and "2 endless" in text and "->" in text and "Then: proved" in text


def test_the_trace_goes_from_answers_through_rules_to_suspects(opened: Session) -> None:
    """Each rule with its id, file and line, what it matched and did, its reason and its source."""
    rows = trace(opened.answer("volts", Answer("full")), 60)
    text = flat(rows)
    for part in ("volts-full", "small.yaml:", "supply: sound", "The volts arrive.", "Invented for tests."):
        assert part in text
    assert text.index("What you said") < text.index("volts-full") < text.index("supply-sound") < text.index("Ruled out")


def test_a_second_fault_beside_the_proved_one_is_named() -> None:
    """Where the odds are that two parts have failed, the proved one is not all that is said."""
    often = base_from(TEXT.replace("green-and-broken: {dead: 3}", "green-and-broken: {dead: 30}"))
    told = {"kind": "lamp", "complaint": "dead", "ohms": "endless", "plug-look": "green"}
    session = Session(often, answers={name: Answer(value) for name, value in told.items()})
    text = flat(verdict(session, 80))
    assert "Found: broken filament" in text and "Not alone, it seems: plug and bulb" in text
    alone = session.answer("plug-look", Answer("clean"))
    assert "Found: broken filament" in flat(verdict(alone, 80)) and "Not alone" not in flat(verdict(alone, 80))


def test_an_answer_that_goes_ill_with_the_rest_is_shown_beside_them(opened: Session) -> None:
    """What was said, and what the rest speaks for."""
    told = {
        "ohms": "low",
        "bulb-look": "broken",
        "fuse-look": "whole",
        "plug-look": "clean",
        "fuses": "own",
        "smell": "no",
    }
    session = replace(opened, answers={**opened.answers, **{name: Answer(value) for name, value in told.items()}})
    session = session.put_off("volts").answer("have-meter", Answer("yes"))
    assert session.step == Ask("ohms", again=True)
    text = flat(step_rows(session.step, session, 80))
    assert "does not go with the rest. You said: Low. The rest speaks for: broken filament." in text


def test_an_answer_that_says_little_is_marked_in_the_trace(opened: Session) -> None:
    """A reading taken while no current could flow is weighed lightly, and the reason is given."""
    session = opened.answer("bulb-look", Answer("broken")).answer("volts", Answer("full"))
    text = flat(trace(session, 80))
    assert "Weighed lightly. No current flows." in text and "rules nothing out" in text


def test_doubt_gives_the_reasons_for_and_against(opened: Session) -> None:
    """Odds before and now, each answer's effect, and the rules that rule it out."""
    text = flat(shown(opened.answer("fuse-look", Answer("whole")), Look("doubt", "blown"), 80))
    assert "before any test" in text and "speaks against it" in text and "Ruled out by fuse-whole" in text


def test_suppose_shows_what_would_follow_and_notes_nothing(opened: Session) -> None:
    """The suspects' odds, the verdict, the next question and the rules that would speak."""
    text = flat(shown(opened, Look("suppose", "open", (Answered("fuse-look", "open"),)), 80))
    assert "Verdict then: likely" in text and "fuse-open" in text and "Nothing has been noted" in text


def test_the_verdict_names_what_not_to_pay_for(opened: Session) -> None:
    """A part that people are tempted to buy and that an answer has cleared, with the rule's reason."""
    session = opened.answer("volts", Answer("full")).answer("have-meter", Answer("yes"))
    assert "Do not pay for - fit a fuse: All arrives." in flat(verdict(session, 80))


def test_a_verdict_that_is_not_final_says_so(opened: Session) -> None:
    """In the middle of a search the same words carry `so far`."""
    assert "so far" in flat(verdict(opened, 80)) and "If you had to act now" in flat(verdict(opened, 80))


def test_what_was_put_off_or_declined_is_named_at_the_end(opened: Session) -> None:
    """Nobody has to remember what was left out."""
    session = opened.put_off("fuse-look").decline(["spark"])
    text = flat(verdict(session, 80))
    assert "Put off: look at the fuse (fuse-look)" in text and "tests with live wires" in text


@pytest.mark.parametrize("width", [40, 60, 80, 100])
def test_every_screen_fits_its_width(opened: Session, width: int) -> None:
    """Questions, forms, reports and everything that can be asked for; at any prompt of a job."""
    rows: Rows = []
    session = Session(small_base())
    for event in hold([*OPENED, "yes", "low", "1", "unsure", "2", "1"]).kept:
        rows += [*step_rows(session.step, session, width), *reminder(session.step, session, width)]
        session = apply(session, event)
    for what in ("why", "trace", "standing", "spend", "help"):
        rows += shown(opened, Look(what), width)  # type: ignore[arg-type]  # the literal is spelt out above
    rows += [*report(session, width), *step_rows(End(), session, width), *shown(opened, Look("doubt", "broken"), width)]
    assert max(map(len, text_of(rows))) <= width


def test_help_names_every_command_and_explains_words(opened: Session) -> None:
    """Alone it lists the commands; with a word it says what that is, be it fault, question, part, tool or caution."""
    text = flat(shown(opened, Look("help"), 80))
    assert all(f"{name} " in text for name in COMMANDS)
    for word, meaning in (
        ("broken", "It is broken."),
        ("hot glass", "Let it cool."),
        ("meter", "meter"),
        ("why", "why"),
    ):
        assert meaning in flat(shown(opened, Look("help", word), 80))
    assert "is not a word here" in flat(shown(opened, Look("help", "zebra"), 80))


def test_shares_are_never_said_to_be_none_or_all() -> None:
    """Nobody can know that."""
    assert (words.percent(0), words.percent(1), words.percent(0.5)) == ("<1 %", ">99 %", "50 %")
    assert words.likely(0.99) == "nearly certain" and words.likely(0.0) == "very unlikely"


def test_times_and_money_are_said_as_people_do() -> None:
    """No decimals where they mean nothing."""
    assert (words.minutes(0.2), words.minutes(5), words.minutes(125)) == ("under a minute", "5 min", "2 h 05 min")
    assert (words.money(4.25), words.money(42.4), words.money(0)) == ("4.2 u", "42 u", "0 u")


def test_under_guarantee_nothing_is_opened_or_bought(opened: Session) -> None:
    """The verdict sends the lamp to those who mend it for nothing, and offers no repair of one's own."""
    base = base_from(TEXT.replace("opening:", 'covered: {fuses: ["own"]}\n  opening:'))
    session = play({}, Session(base, answers=opened.answers).answer("fuses", Answer("own"))).session
    written = flat(verdict(session, 80))
    assert isinstance(session.step, End)
    assert "put right under the guarantee" in written
    assert "How to" not in written
    assert "Ask for" not in written
