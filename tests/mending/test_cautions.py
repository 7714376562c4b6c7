"""A caution comes just before the step that needs it; serious ones are acknowledged then and there."""

from functools import cache

import pytest

from engine.base import Base
from engine.events import Acknowledged, Event, apply
from engine.file_schema import file_schema
from engine.mend_events import Begun, StepDone
from engine.problems import KnowledgeError
from engine.session import Session
from engine.steps import Beware, HowIsIt, HowOpened, Work
from engine.vehicle_events import AccessNoted
from tests.mending.base import BROKEN, after
from tests.shell.jobs import hold
from tests.shipped import shipped_base
from tests.small import TEXT, base_from

BULB = "access: open, steps: [Fit it.], proof: [Try it.]}"
STEPS = """access: out, cautions: [hot, spark, smoke],
    steps: [Switch off., {do: Fit it., cautions: [spark, hot], tools: meter}],
    proof: [{do: Try it., cautions: smoke}]}"""
LAMP_OUT = ("within: open, minutes: 20", "within: open, minutes: 20, cautions: spark")


@cache
def base() -> Base:
    """The small base with a bulb whose second step has dangers of its own, and so has its proof."""
    return base_from(TEXT.replace(BULB, STEPS))


def job(*events: Event, on: Base | None = None) -> Session:
    """The bulb being renewed."""
    return after([*BROKEN, Begun(("new-bulb",)), *events], Session(on or base()))


def test_a_serious_caution_comes_just_before_its_step() -> None:
    """Opening up and the first step need no word; then it must be acknowledged, for that step, before it is shown."""
    session = job()
    for stage in ("open", "do"):
        assert isinstance(session.step, Work) and session.step.task.stage == stage
        session = apply(session, StepDone(stage))
    assert isinstance(session.step, Beware) and session.step.cautions == ("spark",)
    assert session.step.task is not None and session.step.task.text == "Fit it."
    held = hold(["done", "understood"], session)
    assert len(held.refused) == 1 and "understood" in held.refused[0]
    assert isinstance(held.session.step, Work) and held.session.step.task.text == "Fit it."
    assert held.text.index("Mind the wires.") < held.text.index("hot glass: Let it cool.") < held.text.rindex("Fit it.")
    assert "Need a meter" in held.text


def test_what_was_acknowledged_before_is_only_named() -> None:
    """Read once in the job, its name is enough at the step."""
    session = job(Acknowledged(("spark",)), StepDone("open"), StepDone("do"))
    assert isinstance(session.step, Work)
    text = hold(["hm"], session).text
    assert "live wires: as read." in text and "Mind the wires." not in text


def test_the_proof_has_its_own_cautions() -> None:
    """What can hurt only when the lamp is lit is said when it is lit."""
    session = job(Acknowledged(("spark",)), StepDone("open"), StepDone("do"), StepDone("do"))
    while not isinstance(session.step, Beware):
        session = hold(["low"], session).session
    assert session.step.cautions == ("smoke",) and session.step.task is not None


def test_a_caution_that_no_step_names_comes_before_everything() -> None:
    """As ever: nothing is opened before it is read."""
    whole = base_from(TEXT.replace(BULB, STEPS.replace(", cautions: smoke", "")))
    assert job(on=whole).step == Beware(("smoke",), ("new-bulb",))


def test_opening_up_has_its_own_cautions() -> None:
    """The danger of taking the lamp out is said before it is taken out, whatever the repair."""
    risky = base_from(TEXT.replace(BULB, STEPS).replace(*LAMP_OUT))
    step = job(on=risky).step
    assert isinstance(step, Beware) and step.task is not None and step.task.stage == "open"


@pytest.mark.parametrize(
    ("steps", "code", "words"),
    [
        ("{do: Fit it., cautions: sparks}", "unknown-name", 'no caution "sparks"; did you mean'),
        ("{do: Fit it., caution: spark}", "unknown-key", 'no key "caution"; did you mean "cautions"'),
        ("{cautions: spark}", "missing-key", "lacks `do:`"),
        ("{do: Fit it., tools: metre}", "unknown-name", 'no tool "metre"'),
    ],
)
def test_a_wrong_step_is_told_with_its_place(steps: str, code: str, words: str) -> None:
    """The loader names what is wrong, where, and what was meant."""
    with pytest.raises(KnowledgeError) as wrong:
        base_from(TEXT.replace(BULB, f"steps: [Switch off., {steps}], proof: [Try it.]}}"))
    (problem,) = wrong.value.problems
    assert problem.code == code and words in problem.message and problem.place.column > 60


def test_one_step_may_stand_alone_and_the_editor_knows_it() -> None:
    """A text, a step with cautions, or a list of either; so says the schema too."""
    alone = base_from(TEXT.replace(BULB, "steps: {do: Fit it., cautions: hot}, proof: Try it.}")).repairs["new-bulb"]
    assert [one.do for one in (*alone.steps, *alone.proof)] == ["Fit it.", "Try it."] and alone.dangers == ("hot",)
    steps = file_schema()["definitions"]["Repair"]["properties"]["steps"]
    assert [set(one) & {"$ref", "items"} for one in steps["anyOf"]] == [{"$ref"}, {"items"}]


def test_on_the_shipped_base_no_serious_caution_of_a_repair_can_be_passed() -> None:
    """Whatever repair is begun, each of its serious cautions is acknowledged on the way to the judgement."""
    base = shipped_base()
    for name, repair in base.repairs.items():
        told = {caution for caution in repair.dangers if base.cautions[caution].serious}
        session, read = apply(Session(base), Begun((name,))), set[str]()
        while not isinstance(step := session.step, HowIsIt):
            match step:
                case Beware(cautions=cautions):
                    read.update(cautions)
                    session = apply(session, Acknowledged(cautions))
                case Work(task=task):
                    session = apply(session, StepDone(task.stage))
                case HowOpened(state=state):
                    session = apply(session, AccessNoted(state, ""))
                case _:
                    raise AssertionError(step)
        assert told <= read, name
