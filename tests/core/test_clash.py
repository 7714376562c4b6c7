"""Contradictions: the smallest set of answers that cannot all be true, and the likeliest slip among them."""

from __future__ import annotations

import itertools
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine import Answer, Ask, Session
from tests.oracles import bases, brute
from tests.small import small_base

CONTRADICTION = {
    "volts": "full",  # clears all before the lamp and its earth
    "ohms": "low",  # clears the filament
}


def dead(answers: dict[str, str]) -> Session:
    """A dead lamp of the small base, with answers."""
    session = Session(small_base())
    for question, outcome in {"kind": "lamp", "complaint": "dead", "showing": "yes", **answers}.items():
        session = session.answer(question, Answer(outcome))
    return session


def excluding(seed: int) -> Session:
    """A job on a random base most of whose rules exclude, with an answer to every question."""
    rng = random.Random(seed)
    entries = bases.random_entries(seed, faults=3, rules=14)
    for rule in entries["rules"].values():
        for kind in ("proves", "raises", "lowers"):
            rule.pop(kind, None)
        rule["excludes"] = rng.sample(list(entries["faults"]), rng.randint(1, 2))
    session = Session(bases.base_of(entries)).answer("kind", Answer("lamp")).answer("complaint", Answer("dead"))
    for question in (*bases.CIRCUMSTANCES, *bases.QUESTIONS):
        session = session.answer(question, Answer(rng.choice(bases.VALUES)))
    return session


def excluded(session: Session, questions: tuple[str, ...]) -> set[str]:
    """The faults that plain logic excludes when only these questions were answered, and all circumstances."""
    told = {**session.circumstances, **{name: session.told[name] for name in questions}}
    rules = session.circuit.rules
    effects = [effect for number, _ in brute.fire(rules, told.items()) for effect in rules[number].effects]
    return {fault for effect in effects if effect.kind == "excludes" for fault in effect.faults}


def smallest(session: Session) -> int | None:
    """The size of the smallest set of answers that excludes every fault, found by trying all."""
    for size in range(len(bases.QUESTIONS) + 1):
        for questions in itertools.combinations(bases.QUESTIONS, size):
            if excluded(session, questions) == set(session.circuit.faults):
                return size
    return None


def check(session: Session) -> bool:
    """Holds a session's clash against the brute-force one; whether there was any."""
    size, clash = smallest(session), session.clash
    if not size:  # none, or circumstances alone exclude all, which no answer is to blame for
        assert clash is None
        return False
    assert clash is not None
    assert len(clash.questions) == size
    assert excluded(session, clash.questions) == set(session.circuit.faults)
    assert clash.suspect in clash.questions
    assert session.belief.slips[clash.suspect] == max(session.belief.slips[name] for name in clash.questions)
    assert all(any(support <= set(clash.questions) for support in one.supports) for one in clash.firings)
    return True


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32))
def test_the_clash_is_the_smallest_set_that_excludes_everything(seed: int) -> None:
    """On random bases no smaller set of answers excludes every fault, and the one named does."""
    check(excluding(seed))


def test_random_bases_do_clash() -> None:
    """The property above meets clashes, and jobs without one."""
    found = [check(excluding(seed)) for seed in range(60)]
    assert 10 < sum(found) < 55


def test_answers_that_agree_do_not_clash() -> None:
    """As long as one fault stands, there is no clash."""
    assert dead({"volts": "full"}).clash is None


def test_a_clash_names_its_answers_its_rules_and_the_suspect() -> None:
    """Two answers that clear everything between them are named with the rules that clear; nothing else is."""
    session = dead({**CONTRADICTION, "bulb-look": "whole", "light.other": "works"})
    clash = session.clash
    assert clash is not None
    assert set(clash.questions) == {"ohms", "volts"}
    assert {firing.rule.id for firing in clash.firings} >= {"ohms-low", "supply-sound"}
    assert session.verdict.kind == "clash"
    assert session.step == Ask(clash.suspect, again=True)


def test_the_same_answer_again_is_confirmed_and_settles_the_asking() -> None:
    """Asked again and answered alike, the suspect is believed more, and is not asked a third time."""
    session = dead(CONTRADICTION)
    assert session.clash is not None
    name = session.clash.suspect
    again = session.recheck(name).answer(name, Answer(CONTRADICTION[name]))
    assert again.answers[name].confirmed
    assert again.findings[name].slip < session.findings[name].slip
    assert again.step != Ask(name, again=True)


def test_another_answer_ends_the_clash() -> None:
    """Asked again and answered otherwise, the clash is gone."""
    session = dead(CONTRADICTION)
    assert session.recheck("ohms").answer("ohms", Answer("endless")).clash is None


@pytest.mark.parametrize("question", CONTRADICTION)
def test_a_doubtful_answer_does_not_clash(question: str) -> None:
    """An answer given while the fault hid excludes nothing, and so contradicts nothing."""
    session = dead({name: outcome for name, outcome in CONTRADICTION.items() if name != question})
    hidden = session.answer(question, Answer(CONTRADICTION[question], hidden=True))
    assert (hidden.clash is None) == small_base().questions[question].showing
