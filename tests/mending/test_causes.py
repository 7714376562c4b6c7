"""Why it failed: asked while the lamp is open, never forgotten, and said before the job is closed."""

from engine import rootcauses
from engine.document import document
from engine.events import Acknowledged, Answered, PutOff
from engine.mend_events import Begun, CauseLooked, Closed, StepDone
from engine.session import Ask, Session
from engine.steps import Cured, Inspect, SetAim, Work
from tests.mending.base import BROKEN, TOLD, after, through, tried

READ = Acknowledged(("spark",))


def cured(*events: object) -> Session:
    """A lamp whose bulb was renewed and that works."""
    return through(after([*(events or BROKEN), Begun(("new-bulb",)), READ]), "works")[0]  # type: ignore[list-item]  # events of any kind


def to_the_end(session: Session) -> Session:
    """The session with everything put back and the aim left."""
    while isinstance(session.step, Work | SetAim):
        stage = session.step.task.stage if isinstance(session.step, Work) else "aim"
        session = after([StepDone(stage)], session)
    return session


def test_a_question_that_may_bring_up_the_cause_is_asked_first() -> None:
    """The clip is looked at, since a loose one shakes bulbs to death; the plug is not, since it bears on no bulb."""
    session = cured()
    assert session.root_questions == ("clip",) and session.step == Ask("clip")


def test_what_a_rule_brings_up_is_looked_at_and_what_it_cleared_is_not() -> None:
    """With a loose clip, shaking is to be mended; with a firm one, and nothing else seen, it is not pursued."""
    loose = after([Answered("clip", "loose")], cured())
    assert loose.open_causes[0] == "shaking"
    plain = (*TOLD, Answered("ohms", "endless"))
    firm = after([Answered("bulb-look", "whole"), Answered("clip", "firm")], cured(*plain))
    assert firm.open_causes == ("age",)


def test_a_cause_found_is_asked_for_until_it_is_mended_or_put_off() -> None:
    """Found is not yet cured: the job asks for the mending next."""
    session = after([Answered("clip", "loose"), CauseLooked("age", "not"), CauseLooked("shaking", "found")], cured())
    assert session.step == Inspect(("shaking",)) and session.open_causes == ("shaking",)
    mended = after([CauseLooked("shaking", "mended")], session)
    assert not mended.open_causes and isinstance(mended.step, Work)
    assert after([CauseLooked("shaking", "later")], session).open_causes == ("shaking",)


def test_an_open_cause_is_named_at_the_end_and_after_closing() -> None:
    """Put off, it stands at the end of the job, in the document, and still when the job is closed."""
    session = after([PutOff("clip"), CauseLooked("age", "later"), CauseLooked("shaking", "later")], cured())
    end = to_the_end(session)
    assert end.step == Cured(("shaking", "age"))
    closed = after([Closed()], end)
    assert closed.step == Cured(("shaking", "age"), closed=True)
    found = document(closed)
    assert found.phase == "closed" and found.causes_open == ("shaking", "age")
    assert {one.cause: one.seen for one in found.causes} == {"shaking": "later", "age": "later"}


def test_no_question_is_asked_for_which_more_would_have_to_be_opened() -> None:
    """A mended plug needs no bonnet opened; the look at the plug, behind the bonnet, is left to the person."""
    session = through(after([*TOLD, Begun(("new-plug",))]), "works")[0]
    assert not session.root_questions
    assert "plug-look" in rootcauses.questions(session.circuit, session.reasoning.facts, {"water"})


def test_what_was_renewed_is_not_looked_at_for_the_cause() -> None:
    """The look at the bulb may tell of shaking, but the bulb that shook is out and a new one is in."""
    session = cured(*TOLD, Answered("ohms", "endless"))
    wanted = rootcauses.questions(session.circuit, session.reasoning.facts, {"shaking"})
    assert "bulb-look" in wanted and session.root_questions == ("clip",)


def test_causes_of_a_first_repair_are_not_forgotten_with_its_answers() -> None:
    """The look that brought up shaking is stale after the bulb, but the cause is still there when the plug cures."""
    session = tried(after(BROKEN), "new-bulb")
    assert "bulb-look" not in session.told
    done = through(after([Begun(("new-plug",))], session), "works")[0]
    assert "shaking" in done.open_causes


def test_both_of_two_faults_lend_their_causes() -> None:
    """A double fault has the causes of its two."""
    base = after(()).base
    assert rootcauses.usual(base, ["green-and-broken"], after(()).reasoning) == ("water", "shaking", "age")
