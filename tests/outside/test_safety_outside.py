"""Published warnings, held against what the program asks and says."""

from __future__ import annotations

import pytest

from engine import Base
from engine.schema import Question
from tests.retold import tell
from tests.shipped import shipped_base

SERVICE = (
    "service precautions of public workshop manuals on discharge lamps: battery off, no tester on the socket (read)"
)
SUPPLIER = "service note of a lamp supplier: 20 kV at the strike, and only a disconnected battery is safe (read)"
AGENCY = (
    "environment agency's advice on broken lamps that hold mercury: people out, air the room, scoop, no vacuum (read)"
)
RESTRAINT = "makers' instructions on restraint systems: battery off, wait minutes (from memory)"
DISCHARGE = frozenset({"discharge-outside", "discharge-inside", "discharge-whole"})


def discharge_only(question: Question) -> bool:
    """Whether a question is put for discharge lamps and no others."""
    return bool(question.suits.get("light-source")) and set(question.suits["light-source"]) <= DISCHARGE


def hands_on(base: Base) -> list[str]:
    """Questions and repairs of discharge lamps in which source, socket, starter or ballast are handled."""
    near = {"arc-supply", "hot-tube", "pressurised-glass"}  # dangers of parts in the hand; a label is only read
    looks = {name: one for name, one in base.questions.items() if discharge_only(one) and "torch" in one.tools}
    asked = [name for name, one in looks.items() if near & set(one.cautions)]
    swapped = [name for name in base.questions if name in ("swap-ballasts", "swap-starters", "swap-sources")]
    mended = [name for name, one in base.repairs.items() if {"arc-supply", "hot-tube"} & set(one.cautions)]
    return [*asked, *swapped, *mended]


@pytest.mark.outside(f"{SERVICE}; {SUPPLIER}")
def test_hands_near_the_strike_side_take_the_battery_off() -> None:
    """Whatever is looked at, changed over or renewed there says: strike voltage, and the battery off."""
    base = shipped_base()
    found = hands_on(base)
    assert len(found) >= 12
    for name in found:
        cautions = {*(base.questions[name] if name in base.questions else base.repairs[name]).cautions}
        assert {"strike-voltage", "battery-off"} <= cautions, name


@pytest.mark.outside(f"{SERVICE}: whoever measures there may die")
def test_nothing_is_measured_between_ballast_and_source() -> None:
    """Every reading on a discharge lamp is taken at the 12 V side and says so, or uses no meter."""
    base = shipped_base()
    metered = [one for one in base.questions.values() if discharge_only(one) and {"meter", "clamp"} & set(one.tools)]
    assert metered
    for question in metered:
        words = " ".join((question.ask, *question.do))
        assert "12 V" in words or "input" in words, question.title
        assert "strike-voltage" in question.cautions, question.title


@pytest.mark.outside(SUPPLIER)
def test_the_strike_warning_must_be_acknowledged() -> None:
    """Serious, with the battery named, before the step."""
    base = shipped_base()
    assert base.cautions["strike-voltage"].serious
    assert "battery" in " ".join((base.cautions["strike-voltage"].say, base.cautions["battery-off"].say)).lower()


@pytest.mark.outside(AGENCY)
def test_a_cracked_mercury_source_brings_up_the_advice() -> None:
    """Cracked and stamped D1 or D2: air first, no vacuum cleaner. The mercury-free family needs none of it."""
    story = "light-source=discharge-inside beam=low side=left complaint=dead tube-look=cracked"
    assert "mercury" in tell(story, "tube-family=mercury").advice
    assert "mercury" not in tell(story, "tube-family=mercury-free").advice
    words = shipped_base().cautions["mercury"].say.lower()
    assert all(word in words for word in ("air", "vacuum", "people"))


@pytest.mark.outside(RESTRAINT)
def test_after_a_crash_the_search_ends_before_it_begins() -> None:
    """Sensors in the nose: stopped, with the wait named."""
    told = tell("light-source=halogen beam=low side=left complaint=dead crash-or-airbag=yes")
    assert told.kind == "stopped"
    assert "minutes" in shipped_base().cautions["airbag-sensors"].say
