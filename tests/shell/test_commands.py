"""Commands: what a typed line means at each kind of step."""

import pytest

from engine.events import Acknowledged, Amended, Answered, Declined, Priced, PutOff, Rechecked, Remarked, Turned, apply
from engine.session import Answer, Ask, End, Fill, Session, Warn
from shell.commands import COMMANDS, Do, Look, Park, understand
from shell.names import Refusal
from tests.small import TEXT, base_from, base_of_two

LOOK_AT_BULB = Ask("bulb-look")


def refusal(session: Session, step: Ask | Fill | Warn | End, line: str) -> str:
    """The refusal a line meets."""
    found = understand(session, step, line)
    assert isinstance(found, Refusal), found
    return found.message


def answered(*answers: tuple[str, str]) -> Session:
    """A job on the small base with these answers."""
    from tests.small import small_base

    found = Session(small_base())
    for question, outcome in answers:
        found = found.answer(question, Answer(outcome))
    return found


@pytest.mark.parametrize("line", ["broken", " BROKEN ", "2", "br"])
def test_an_answer_is_an_id_a_number_or_the_start_of_an_id(session: Session, line: str) -> None:
    """All of them mean the same answer."""
    found = understand(session, LOOK_AT_BULB, line)
    assert isinstance(found, Do)
    (event,) = found.events
    assert isinstance(event, Answered) and (event.question, event.outcome) == ("bulb-look", "broken")


def test_a_wrong_answer_is_met_with_what_is_accepted(session: Session) -> None:
    """The refusal names every outcome and `unsure`."""
    message = refusal(session, LOOK_AT_BULB, "purple")
    assert "1 whole" in message and "2 broken" in message and "unsure" in message


def test_an_answer_can_say_that_the_fault_hid_or_showed_meanwhile(session: Session) -> None:
    """`while hidden` and `while showing` go with the answer; without them the session decides."""
    for line, hidden in (("full while hidden", True), ("full while showing", False), ("full", None)):
        found = understand(session, Ask("volts"), line)
        assert isinstance(found, Do) and isinstance(found.events[0], Answered) and found.events[0].hidden is hidden


def test_answering_again_after_a_clash_first_says_that_it_was_looked_at_again(session: Session) -> None:
    """The event that it was asked for again comes before the answer, so that both are kept."""
    found = understand(session, Ask("ohms", again=True), "low")
    assert isinstance(found, Do) and [type(event) for event in found.events] == [Rechecked, Answered]


@pytest.mark.parametrize("step", [LOOK_AT_BULB, Fill("lights", ("light.other",)), Warn(("spark",), "volts"), End()])
@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_understood_at_every_step(session: Session, step: Ask | Fill | Warn | End, name: str) -> None:
    """A command word is never taken for an answer, nor refused as one."""
    found = understand(session, step, name)
    if isinstance(found, Refusal):
        assert "none of the answers" not in found.message
    else:
        assert isinstance(found, (Do, Look, Park))


def test_later_puts_off_what_is_asked(session: Session) -> None:
    """A question, every open line of a form, or the question behind a warning."""
    assert understand(session, LOOK_AT_BULB, "later") == Do((PutOff("bulb-look"),))
    assert understand(session, Fill("lights", ("light.other",)), "later") == Do((PutOff("light.other"),))
    assert understand(session, Warn(("spark",), "volts"), "later") == Do((PutOff("volts"),))
    assert "Nothing is being asked" in refusal(session, End(), "later")


def test_dangers_are_acknowledged_or_declined_in_so_many_words(session: Session) -> None:
    """Only the word itself counts as having read a danger; a stray Enter or `y` does not."""
    step = Warn(("spark",), "volts")
    assert understand(session, step, "Understood") == Do((Acknowledged(("spark",)),))
    assert understand(session, step, "decline") == Do((Declined(("spark",)),))
    for line in ("", "y", "yes", "ok", "1"):
        assert "understood" in refusal(session, step, line)


def test_amend_takes_back_what_was_answered_or_put_off() -> None:
    """By id or words; alone it lists what can be amended."""
    session = answered(("kind", "lamp"), ("fuse-look", "open")).put_off("plug-look")
    assert understand(session, LOOK_AT_BULB, "amend at the fuse") == Do((Amended("fuse-look"),))
    assert understand(session, LOOK_AT_BULB, "amend plug") == Do((Amended("plug-look"),))
    assert "fuse-look" in refusal(session, LOOK_AT_BULB, "amend")
    assert "question that you have answered" in refusal(session, LOOK_AT_BULB, "amend ohms")
    assert "no answer yet" in refusal(answered(), LOOK_AT_BULB, "amend")


def test_doubt_wants_a_fault_of_this_lamp() -> None:
    """By id or words; before the lamp is known there are none."""
    session = answered(("kind", "lamp"), ("complaint", "dead"))
    assert understand(session, LOOK_AT_BULB, "doubt rusty earth") == Look("doubt", "rusty")
    assert "broken" in refusal(session, LOOK_AT_BULB, "doubt")
    assert "kind of lamp" in refusal(answered(), LOOK_AT_BULB, "doubt broken")


def test_suppose_reads_its_answer_as_the_prompt_would(session: Session) -> None:
    """The same words as an answer, and the same refusal."""
    found = understand(session, LOOK_AT_BULB, "suppose br")
    assert isinstance(found, Look) and found.what == "suppose"
    assert [event.outcome for event in found.events if isinstance(event, Answered)] == ["broken"]
    assert "none of the answers" in refusal(session, LOOK_AT_BULB, "suppose purple")


def test_a_remark_keeps_its_words(session: Session) -> None:
    """Case and spaces inside are kept; an empty remark is none; control characters never get in."""
    assert understand(session, End(), "remark Loom  looks NEW") == Do((Remarked("Loom  looks NEW"),))
    assert "remark" in refusal(session, End(), "remark  ")
    assert understand(session, End(), "remark a\x1b[2Jb\x07") == Do((Remarked("ab"),))


@pytest.mark.parametrize(
    ("line", "event"),
    [
        ("price hour 55", Priced("settings", "hour-value", 55)),
        ("price bulb 12,5", Priced("parts", "new-bulb", 12.5)),
        ("minutes out 45", Priced("access", "out", 45)),
        ("minutes attempt 5", Priced("settings", "attempt-minutes", 5)),
    ],
)
def test_own_figures_replace_shipped_ones(session: Session, line: str, event: Priced) -> None:
    """The value of an hour, a part's price and minutes of access can be set at any prompt, and take effect."""
    assert understand(session, LOOK_AT_BULB, line) == Do((event,))
    assert getattr(apply(session, event).prices, event.what)[event.name] == event.value


@pytest.mark.parametrize(
    "line",
    [
        "price",
        "price hour",
        "price hour x",
        "price hour -5",
        "price weak 3",
        "minutes out nan",
        "price hour 9999999999",
    ],
)
def test_wrong_figures_are_refused(session: Session, line: str) -> None:
    """No figure, a negative one, or one of a thing that has none, changes nothing."""
    assert refusal(session, LOOK_AT_BULB, line)


@pytest.mark.parametrize("line", ["quit", "exit", "q"])
def test_other_words_for_leaving_are_met_with_the_right_one(session: Session, line: str) -> None:
    """Who tries to leave is told how."""
    assert "park" in refusal(session, LOOK_AT_BULB, line)


def test_a_command_that_stands_alone_says_so(session: Session) -> None:
    """`later tomorrow` is not taken as `later`."""
    assert "stands alone" in refusal(session, LOOK_AT_BULB, "later tomorrow")


def test_a_word_that_is_both_an_answer_and_a_command_is_taken_for_neither() -> None:
    """It could mean two things, so the person is told how to say each."""
    text = TEXT.replace(
        "{whole: {say: Whole., usual: 0.97}, broken: {say: Broken.}}", "{later: {say: L.}, why: {say: W.}}"
    )
    session = Session(
        base_from(text.replace("bulb-look: whole", "bulb-look: later").replace("bulb-look: broken", "bulb-look: why"))
    )
    assert "Say 1 for the answer" in refusal(session, LOOK_AT_BULB, "later")
    assert "Say 2 for the answer" in refusal(session, LOOK_AT_BULB, "why")
    found = understand(session, LOOK_AT_BULB, "1")
    assert isinstance(found, Do) and found.events[0] == Answered("bulb-look", "later", "1")


def test_turn_goes_to_the_other_complaint_when_the_search_has_ended() -> None:
    """Not before, and not where one complaint was told; from the second search it goes back at any time."""
    alone = Session(base_of_two(), {"kind": Answer("lamp"), "complaint": Answer("dead"), "also": Answer("no")})
    both = alone.answer("also", Answer("dim"))
    assert "one complaint only" in refusal(alone, End(), "turn")
    assert "when this search has ended" in refusal(both, LOOK_AT_BULB, "turn")
    assert understand(both, End(), "turn") == Do((Turned(),))
    assert "turn" in refusal(both, End(), "hm") and "turn" not in refusal(alone, End(), "hm")
    assert understand(apply(both, Turned()), Ask("showing"), "turn") == Do((Turned(),))
