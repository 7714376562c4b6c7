"""The odds: what the definition gives, what a Bayesian network gives, and the laws they keep."""

from __future__ import annotations

import random
from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine import Answer, Base, Session
from engine.belief import believe, finding
from engine.expectations import expectations
from engine.explanation import trace
from engine.grounding import ground
from engine.reasoning import reason
from engine.session import Ask, End
from tests.oracles import bases, odds
from tests.shipped import job, shipped_base
from tests.small import TEXT, base_from, small_base

SEEDS = st.integers(0, 2**32)
SMALL = sorted(set(small_base().questions) - {"kind", "complaint"})


def said(answers: Mapping[str, str | None], base: Base | None = None) -> Session:
    """A session with these answers, given in this order."""
    session = Session(base or small_base())
    for question, outcome in answers.items():
        session = session.answer(question, Answer(outcome))
    return session


def dead(**answers: str) -> Session:
    """A dead lamp of the small base, with answers; underscores stand for hyphens."""
    named = {name.replace("_", "-"): outcome for name, outcome in answers.items()}
    return said({"kind": "lamp", "complaint": "dead", **named})


def some_answers(rng: random.Random) -> dict[str, str | None]:
    """Random answers to questions of the small base about a dead or dim lamp."""
    base = small_base()
    names = ["kind", "complaint", *rng.sample(SMALL, rng.randint(0, len(SMALL)))]
    return {name: "lamp" if name == "kind" else rng.choice(list(base.questions[name].outcomes)) for name in names}


def difference(session: Session, expected: Mapping[str, float]) -> float:
    """The largest difference between the session's odds and others."""
    got = {**dict(session.belief.ranking()), odds.UNKNOWN: session.belief.unknown}
    assert got.keys() == expected.keys()
    return max(abs(got[fault] - share) for fault, share in expected.items())


@settings(max_examples=80, deadline=None)
@given(SEEDS)
def test_odds_are_those_of_the_definition(seed: int) -> None:
    """On random bases the odds are the product of prior, expectations with slips, and rules over several findings."""
    rng = random.Random(seed)
    session = job(bases.random_base(seed), "lamp", rng)
    assert difference(session, _by_definition(session)) < 1e-9


@settings(max_examples=40, deadline=None)
@given(SEEDS)
def test_odds_are_those_of_the_definition_on_the_small_base(seed: int) -> None:
    """The same on the small base, with doubtful answers among the others."""
    session = said(some_answers(random.Random(seed)))
    assert difference(session, _by_definition(session)) < 1e-9


def _by_definition(session: Session) -> dict[str, float]:
    return odds.posterior(session.circuit, session.evidence, session.findings, session.complaint)


@pytest.mark.outside("pgmpy, variable elimination in a network of one parent")
@pytest.mark.parametrize("seed", range(8))
def test_odds_are_those_of_a_bayesian_network(seed: int) -> None:
    """The same tables as a network of one parent, the fault, give the same odds to nine places."""
    network = pytest.importorskip("tests.oracles.network")
    rng = random.Random(seed)
    for session in (said(some_answers(rng)), job(bases.random_base(seed), "lamp", rng)):
        expected = network.posterior(session.circuit, session.evidence, session.findings, session.complaint)
        assert difference(session, expected) < 1e-9


@pytest.mark.outside("pgmpy, variable elimination in a network of one parent")
def test_odds_on_the_shipped_base_are_those_of_a_bayesian_network() -> None:
    """For every technology of the shipped base, random answers give the odds of the network."""
    network = pytest.importorskip("tests.oracles.network")
    base = shipped_base()
    for number, technology in enumerate(base.technologies):
        session = job(base, technology, random.Random(number), most=7)
        expected = network.posterior(session.circuit, session.evidence, session.findings, session.complaint)
        assert difference(session, expected) < 1e-9


@settings(max_examples=60, deadline=None)
@given(SEEDS)
def test_shares_sum_to_one(seed: int) -> None:
    """The faults and the unknown share the whole, whatever is answered, and none falls to nothing."""
    shares = said(some_answers(random.Random(seed))).belief.shares
    assert shares.sum() == pytest.approx(1, abs=1e-12)
    assert shares.min() > 0


@settings(max_examples=60, deadline=None)
@given(SEEDS)
def test_the_order_of_the_answers_does_not_matter(seed: int) -> None:
    """The same answers in another order give exactly the same odds and slips."""
    rng = random.Random(seed)
    answers = some_answers(rng)
    first = {"showing": answers.pop("showing", "yes")}  # said before the tests, as it says of each whether it counts
    shuffled = dict(rng.sample(list(answers.items()), len(answers)))
    one, other = said({**first, **answers}), said({**first, **shuffled})
    assert np.array_equal(one.belief.shares, other.belief.shares)
    assert one.belief.slips == other.belief.slips


@settings(max_examples=40, deadline=None)
@given(SEEDS, st.sampled_from(SMALL))
def test_cannot_tell_changes_nothing(seed: int, question: str) -> None:
    """`Cannot tell` is no evidence."""
    answers = some_answers(random.Random(seed))
    answers.pop(question, None)
    assert np.array_equal(said(answers).belief.shares, said({**answers, question: None}).belief.shares)


@settings(max_examples=40, deadline=None)
@given(SEEDS, st.sampled_from(SMALL))
def test_an_answer_taken_back_leaves_nothing_behind(seed: int, question: str) -> None:
    """Amending an answer gives the odds, the firings and the verdict of a session in which it was never given."""
    answers = some_answers(random.Random(seed))
    never = {name: outcome for name, outcome in answers.items() if name != question}
    before = said({"showing": "yes", **never, question: answers.get(question, None)})
    after = said({"showing": "yes", **never}) if question != "showing" else said(never)
    taken = before.amend(question)
    if question == "showing":  # answers given meanwhile keep what was said of the fault at their time
        taken = said(never)
    assert np.array_equal(taken.belief.shares, after.belief.shares)
    assert taken.reasoning.firings == after.reasoning.firings
    assert taken.verdict == after.verdict


@settings(max_examples=60, deadline=None)
@given(SEEDS)
def test_what_is_excluded_stays_excluded(seed: int) -> None:
    """With circumstances unchanged and no answer called into doubt, further answers only ever exclude more."""
    rng = random.Random(seed)
    session = job(bases.random_base(seed), "lamp", rng)
    fewer = {name: value for name, value in session.told.items() if name[0] != "q" or rng.random() < 0.5}
    few, all_ = reason(session.circuit, fewer), reason(session.circuit, session.told)
    assert set(few.exclusions) <= set(all_.exclusions)
    assert set(few.proofs) <= set(all_.proofs)


@cache
def one_suspect() -> Base:
    """Five questions in which `a` speaks strongly for fault f0 and is rare otherwise, and `b` excludes f0."""
    entries = next(one for one in map(bases.random_entries, range(50)) if "pair" not in one["faults"])
    rules: bases.Json = {}
    for question in bases.QUESTIONS:
        shares = {"a": 0.1, "b": 0.8, "c": 0.1}
        said_ = {value: {"say": f"It is {value}.", "usual": share} for value, share in shares.items()}
        entries["questions"][question] = {"kind": "test", "title": "look", "ask": "What?", "outcomes": said_}
        told = {"because": "It was invented.", "source": "invented"}
        rules[f"{question}-for"] = {"when": {question: "a"}, "raises": {"strong": "f0"}, **told}
        rules[f"{question}-against"] = {"when": {question: "b"}, "excludes": "f0", **told}
    entries["rules"] = rules
    return bases.base_of(entries)


@pytest.mark.parametrize("wrong", bases.QUESTIONS)
def test_one_wrong_answer_is_outvoted(wrong: str) -> None:
    """Four answers for a fault outweigh one that excludes it; that one is named the likeliest slip, and likely one."""
    answers = {question: "b" if question == wrong else "a" for question in bases.QUESTIONS}
    session = said({"kind": "lamp", "complaint": "dead", **answers}, one_suspect())
    assert "f0" in session.reasoning.exclusions
    assert session.belief.ranking()[0][0] == "f0"
    assert session.belief.share("f0") > 0.8
    slips = session.belief.slips
    assert max(slips, key=slips.__getitem__) == wrong
    assert slips[wrong] > 0.8
    assert session.verdict.against_logic
    assert session.verdict.kind != "proved"


@pytest.mark.parametrize("wrong", bases.QUESTIONS)
def test_the_answer_that_goes_ill_with_the_rest_is_asked_again_once(wrong: str) -> None:
    """Before the search ends; the same answer given again stands, another one clears the matter up."""
    answers = {question: "b" if question == wrong else "a" for question in bases.QUESTIONS}
    session = said({"kind": "lamp", "complaint": "dead", **answers}, one_suspect())
    assert session.step == Ask(wrong, again=True)
    stands = session.recheck(wrong).answer(wrong, Answer("b"))
    assert isinstance(stands.step, End)
    assert stands.belief.slips[wrong] < session.belief.slips[wrong]
    mended = session.recheck(wrong).answer(wrong, Answer("a"))
    assert isinstance(mended.step, End) and mended.misfit is None and not mended.verdict.against_logic


def test_an_answer_likelier_wrong_than_right_is_asked_again_at_once() -> None:
    """A filament seen broken and measured whole: the meter is read again, though other questions are worth asking."""
    told = {"kind": "lamp", "complaint": "dead", "showing": "yes", "light.other": "works", "have-meter": "yes"}
    session = said({**told, "bulb-look": "broken", "ohms": "low"})
    assert session.clash is None and session.plan.best is not None
    assert session.belief.slips["ohms"] >= session.base.setting("recheck-at-once")
    assert session.step == Ask("ohms", again=True)
    stands = session.recheck("ohms").answer("ohms", Answer("low"))
    assert isinstance(stands.step, Ask) and not stands.step.again


def test_a_doubtful_answer_is_not_asked_again() -> None:
    """Volts read while no current could flow are known to say little; they are no contradiction."""
    session = dead(showing="yes", bulb_look="broken", ohms="endless", volts="full", plug_look="green")
    assert session.findings["volts"].doubt and session.belief.slips["volts"] > 0.4
    assert session.misfit != "volts"


def test_right_answers_are_not_called_slips() -> None:
    """Where all answers agree, each is less likely a slip than it was to begin with."""
    answers = dict.fromkeys(bases.QUESTIONS, "a")
    session = said({"kind": "lamp", "complaint": "dead", **answers}, one_suspect())
    assert session.belief.share("f0") > 0.99
    assert all(session.belief.slips[name] < found.slip for name, found in session.findings.items())


def test_a_doubtful_answer_says_little() -> None:
    """Volts read while the fault hides move the odds far less than volts read while it shows."""
    before = dead().belief.share("broken")
    shown = dead(showing="yes", volts="full").belief.share("broken")
    hidden = dead(showing="no", volts="full").belief.share("broken")
    assert before < hidden < shown
    assert hidden - before < (shown - before) / 2


def test_a_doubtful_answer_names_its_reason_and_excludes_nothing() -> None:
    """A reading taken where no current could flow keeps its rule in the trace, but no longer rules anything out."""
    session = dead(bulb_look="broken", volts="low")
    assert session.findings["volts"].doubt == "No current flows."
    assert "broken" not in session.reasoning.exclusions
    assert "broken" in dead(volts="low").reasoning.exclusions


def test_a_rule_over_two_findings_acts_once_both_are_there() -> None:
    """Its strength comes on top only with the second finding, slips of both allowed for."""
    apart = (dead(fuse_look="open"), said({"kind": "lamp", "complaint": "dead", "light.other": "dead"}))
    both = said({"kind": "lamp", "complaint": "dead", "light.other": "dead", "fuse-look": "open"})
    assert all(len(one.reasoning.firings) < len(both.reasoning.firings) for one in apart)
    sure = 0.99 * 0.97 * 0.96  # circumstance, the other light (slip 0.03), a test (slip 0.04)
    told = {**both.told, "fuses": "own"}  # bars the rule and nothing else
    without = said(told)
    ratio = both.belief.share("flat") / both.belief.share("broken")
    assert ratio == pytest.approx(
        without.belief.share("flat") / without.belief.share("broken") * (sure * 2 + (1 - sure)), rel=1e-9
    )


def test_the_unknown_takes_over_when_nothing_fits() -> None:
    """Answers that clear every named fault leave the unknown in front."""
    session = dead(volts="full", ohms="low", fuse_look="whole", plug_look="clean", bulb_look="whole")
    assert session.belief.unknown > max(share for _, share in session.belief.ranking())


def test_expectations_of_a_worked_example() -> None:
    """P(o | f) for the volts at the lamp, by hand.

    b = 0.9 full, 0.07 low (what is left), 0.03 none; strong is 12.
    Broken filament (source, open): full excludes nothing of it: w = 1; low excludes it: 0; none says nothing: 1.
      0.9, 0, 0.03 over 0.93.
    Green plug (feed, resistive): full makes the supply sound, which excludes it: 0; low raises it: 12; none: 1.
      0, 0.84, 0.03 over 0.87.
    Flat battery (supply, open): full 0; low 1; none raises it: 12.
      0, 0.07, 0.36 over 0.43.
    """
    table = expectations(ground(small_base(), "lamp"))
    rows = table.table("volts", {"kind": "lamp", "complaint": "dead"})
    by_hand = {
        "broken": [0.9 / 0.93, 0, 0.03 / 0.93],
        "green": [0, 0.84 / 0.87, 0.03 / 0.87],
        "flat": [0, 0.07 / 0.43, 0.36 / 0.43],
    }
    for fault, column in by_hand.items():
        assert rows[:, table.columns[fault]] == pytest.approx(column, abs=1e-12)
    assert rows[:, -1] == pytest.approx([0.9, 0.07, 0.03], abs=1e-12)


def test_odds_of_a_worked_example() -> None:
    """The other kind of lamp, which has two faults, and an `endless` reading: by hand.

    Prior: broken 9, flat 1 of 10, times 0.97; unknown 0.03.
    b = 0.98 low, 0.02 endless. Broken: low excluded, endless proved (1000): P(endless) = 1. Flat: b.
    Slip of a test 0.04: P'(endless | broken) = 0.96 + 0.04 * 0.02 = 0.9608; flat and unknown: 0.02.
    """
    session = said({"kind": "other", "complaint": "dead", "ohms": "endless"})
    raw = {"broken": 0.873 * 0.9608, "flat": 0.097 * 0.02, odds.UNKNOWN: 0.03 * 0.02}
    expected = {fault: share / sum(raw.values()) for fault, share in raw.items()}
    assert difference(session, expected) < 1e-12


def test_a_question_under_which_nothing_can_be_says_nothing_and_is_named() -> None:
    """Where rules exclude a fault under every outcome, the table falls back on what is usual, and can be named."""
    entries = bases.random_entries(1)
    entries["rules"] = {
        f"not-{value}": {
            "when": {"q0": value}, "excludes": ["f0"], "because": "It was invented.", "source": "invented",
        }
        for value in bases.VALUES
    }  # fmt: skip
    table = expectations(ground(bases.base_of(entries), "lamp"))
    assert "f0" in table.impossible("q0", {})
    assert table.table("q0", {})[:, 0] == pytest.approx(table.table("q0", {})[:, -1])


@settings(max_examples=25, deadline=None)
@given(SEEDS)
def test_kept_tables_are_those_of_all_circumstances(seed: int) -> None:
    """A table computed for the circumstances that matter is the table under all circumstances, on random bases."""
    rng = random.Random(seed)
    _same_tables(job(bases.random_base(seed), "lamp", rng), rng)


@pytest.mark.parametrize("seed", range(3))
def test_kept_tables_of_the_shipped_base_are_those_of_all_circumstances(seed: int) -> None:
    """The same for every technology of the shipped base."""
    base, rng = shipped_base(), random.Random(seed)
    for technology in base.technologies:
        session = job(base, technology, rng, most=60)
        for name in rng.sample(sorted(base.circumstances - session.told.keys()), 5):
            session = session.answer(name, Answer(rng.choice(list(base.questions[name].outcomes))))
        _same_tables(session, rng, most=20)


def _same_tables(session: Session, rng: random.Random, most: int = 5) -> None:
    table = expectations(session.circuit)
    speaking = sorted(table.speaking)
    for question in rng.sample(speaking, min(most, len(speaking))):
        kept = table.table(question, session.circumstances)
        assert np.allclose(kept, table._compute(question, session.circumstances), atol=1e-12)


def test_a_finding_outside_the_rules_is_no_evidence() -> None:
    """An answer of which no rule speaks moves nothing."""
    assert np.array_equal(dead().belief.shares, dead(smell="no").belief.shares)


def test_the_odds_need_nothing_but_reasoning_and_findings() -> None:
    """Called by hand, without a session, the odds are the same."""
    base, told = small_base(), {"kind": "lamp", "complaint": "dead", "ohms": "endless"}
    facts = frozenset(told.items())
    circuit = ground(base, "lamp")
    alone = believe(reason(circuit, told), {"ohms": finding(base, "ohms", "endless", facts)}, "dead")
    assert np.array_equal(alone.shares, dead(ohms="endless").belief.shares)


def test_an_answer_to_a_question_that_does_not_suit_the_lamp_is_set_aside() -> None:
    """It is no evidence, and the trace says so."""
    base = base_from(TEXT.replace("  ohms: {kind: test,", "  ohms: {kind: test, suits: {complaint: dim},"))
    plain, odd = (said({"kind": "lamp", "complaint": "dead", **more}, base) for more in ({}, {"ohms": "low"}))
    assert odd.belief.ranking() == plain.belief.ranking()
    assert trace(odd).told[-1].doubt.startswith("It does not suit")
