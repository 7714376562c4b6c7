"""Verdicts: never more certain than rules and odds both bear; safety first; what to buy, and what not."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine import Answer, Ask, End, Session
from engine.buying import not_bought
from engine.reasoning import reason
from engine.verdict import Action, worth_trying
from tests.oracles import bases
from tests.shipped import job
from tests.small import TEXT, base_from, small_base


def lamp(complaint: str = "dead", **answers: str) -> Session:
    """A lamp of the small base; underscores stand for hyphens."""
    session = Session(small_base()).answer("kind", Answer("lamp")).answer("complaint", Answer(complaint))
    for question, outcome in {"showing": "yes", **answers}.items():
        session = session.answer(
            {"light_other": "light.other"}.get(question, question.replace("_", "-")), Answer(outcome)
        )
    return session


def test_a_proof_that_the_odds_bear_out_is_proved() -> None:
    """An endless resistance proves the filament; settled once a second fault on top of it is not worth looking for."""
    session = lamp(ohms="endless", light_other="works")
    assert (session.verdict.kind, session.verdict.faults) == ("proved", ("broken",))
    assert not session.verdict.settled  # the plug may be green as well
    assert session.answer("plug-look", Answer("clean")).verdict.settled


def test_a_proof_that_the_odds_do_not_bear_out_is_not_proved() -> None:
    """The same proof against a look at a whole filament and a fuse found open is not called proved."""
    session = lamp(ohms="endless", fuse_look="open")
    assert "broken" in session.reasoning.proofs
    assert "blown" in session.reasoning.proofs
    assert session.verdict.certainty != "proved" or {"broken", "blown"} == set(session.verdict.faults)


def test_a_doubtful_proof_is_none() -> None:
    """A proof that rests on an answer whose conditions were not met is no longer one."""
    session = lamp(ohms="endless")
    assert session.reasoning.proofs
    assert not reason(session.circuit, session.told, frozenset({"ohms"})).proofs


def test_danger_ends_the_search_at_once() -> None:
    """A finding that a rule stops at ends the search, whatever else is open, with its caution."""
    session = Session(small_base()).answer("smell", Answer("yes"))
    assert session.step == End()
    assert session.verdict.kind == "stopped"
    assert "smoke" in session.verdict.cautions
    assert [firing.rule.id for firing in session.verdict.stopped_by] == ["smell-stops"]


def test_a_fault_elsewhere_is_referred() -> None:
    """When the likely fault is not in the headlamp, the verdict says so."""
    session = lamp("dim", volts="none")
    assert session.base.faults[session.verdict.faults[0]].kind == "elsewhere"
    assert session.verdict.kind == "elsewhere"


def test_where_nothing_fits_the_verdict_is_unknown() -> None:
    """Once the share of the unknown is large and nothing is proved, no fault is crowned; random jobs do end so."""
    found = 0
    for seed in range(150):
        session = job(bases.random_base(seed, faults=3), "lamp", random.Random(seed))
        large = session.belief.unknown >= session.base.setting("unknown-verdict")
        if session.verdict.kind in ("unknown", "proved", "likely", "open"):
            assert (session.verdict.kind == "unknown") == (large and session.verdict.certainty != "proved")
        found += session.verdict.kind == "unknown"
    assert found > 3


def test_causes_come_from_the_rules_that_fired() -> None:
    """A broken filament brings up the shaking that breaks filaments."""
    assert lamp(bulb_look="broken").verdict.causes == ("shaking",)
    assert lamp(bulb_look="whole").verdict.causes == ()


def test_a_cause_that_an_answer_clears_is_not_brought_up() -> None:
    """Once the mount was found firm, nobody is sent to look whether the lamp shakes."""
    cleared = "look: The clip., mend: The clip., cleared: {smell: 'no'}}"
    base = base_from(TEXT.replace("look: The clip., mend: The clip.}", cleared))
    told = Session(base, answers=lamp(bulb_look="broken").answers)
    assert told.verdict.causes == ("shaking",)
    assert told.answer("smell", Answer("no")).verdict.causes == ()


def test_what_is_not_broken_has_no_cause() -> None:
    """Where the end is that nothing is broken, nobody is sent to look for why it broke."""
    whole = base_from(TEXT.replace("mode: open, repair: new-bulb}", "mode: open, kind: normal, repair: new-bulb}"))
    found = replace(lamp(bulb_look="broken", ohms="endless"), base=whole).verdict
    assert (found.kind, found.causes) == ("normal", ())


def test_a_tempting_part_that_is_cleared_is_not_to_be_bought() -> None:
    """The bulb is what most would buy for a dead lamp; once cleared, the verdict says to leave it."""
    session = lamp(ohms="low", bulb_look="whole", fuse_look="open")
    assert session.belief.share("broken") < 0.03
    assert "new-bulb" in session.verdict.not_to_buy
    assert "new-bulb" not in lamp().verdict.not_to_buy


def test_what_a_cause_calls_for_is_not_called_needless() -> None:
    """The clip wants a bulb as well: then nobody is told not to pay for one, though the bulb is not the fault."""
    wanted = "look: The clip., mend: The clip., repair: [new-bulb]}"
    text = TEXT.replace("look: The clip., mend: The clip.}", wanted)
    brought = text.replace("when: {fuse-look: open}", "when: {fuse-look: open}, advises: shaking")
    told = lamp(ohms="low", bulb_look="whole", fuse_look="open").answers
    assert "new-bulb" in Session(base_from(text), answers=told).verdict.not_to_buy
    found = Session(base_from(brought), answers=told).verdict
    assert (found.causes, "new-bulb" in found.not_to_buy) == (("shaking",), False)


def test_actions_come_in_order_of_probability_over_cost() -> None:
    """What to try first is what cures most for its cost."""
    actions = lamp().verdict.actions
    rates = [action.share / action.cost for action in actions]
    assert rates == sorted(rates, reverse=True)
    assert sum(action.share for action in actions) == pytest.approx(1 - lamp().belief.unknown)


def action(share: float, cost: float, fault: str = "one") -> Action:
    """A repair of one fault."""
    return Action((fault,), (fault,), share, cost)


def test_a_long_shot_never_comes_before_the_leading_repair() -> None:
    """On random bases whatever stands before the repair of a likely fault has a real chance."""
    seen = 0
    for seed in range(150):
        verdict = job(bases.random_base(seed, faults=5), "lamp", random.Random(seed)).verdict
        if verdict.certainty == "open" or not verdict.faults:
            continue
        leading = next(number for number, one in enumerate(verdict.actions) if verdict.faults[0] in one.faults)
        assert all(one.share >= 0.1 for one in verdict.actions[:leading])
        seen += 1
    assert seen > 20


def test_the_job_is_handed_on_when_more_tries_would_cost_more() -> None:
    """By hand: a dear part at even odds loses 0.5 x 400 u, more than a referral; a cheap one first is worth it."""
    assert worth_trying((action(0.5, 400),), referral=150) == 0
    assert worth_trying((action(0.95, 400),), referral=150) == 1
    assert worth_trying((action(0.4, 10), action(0.3, 400), action(0.1, 500)), referral=150) == 1


def test_the_tries_are_those_that_the_planner_counts_on() -> None:
    """On random bases acting now costs what the tries cost in vain, the referral after them, and the repair itself."""
    for seed in range(60):
        session = job(bases.random_base(seed, faults=5), "lamp", random.Random(seed))
        verdict, left, cost = session.verdict, 1.0, 0.0
        if verdict.certainty != "open":
            continue  # a likely repair may come before its turn
        for one in verdict.actions[: verdict.tries]:
            left -= one.share
            cost += left * one.cost
        cost += left * session.base.setting("referral-price")
        cost += sum(one.share * one.cost for one in verdict.actions)
        assert cost == pytest.approx(session.plan.act_now, rel=0.02, abs=0.5)


def test_under_guarantee_handing_on_costs_but_the_way() -> None:
    """The circumstance that the base names makes the referral cheap, and nothing else."""
    base = base_from(TEXT.replace("opening:", 'covered: {fuses: ["own"]}\n  opening:'))
    free, paid = (Session(base).answer("fuses", Answer(one)) for one in ("own", "shared"))
    assert (free.covered, paid.covered) == (True, False)
    assert free.rates.setting(base, "referral-price") == base.setting("referral-covered")
    assert paid.rates == paid.prices
    assert free.rates.minute(base) == paid.rates.minute(base)


def test_under_guarantee_no_repair_is_a_try_of_ones_own() -> None:
    """However cheap a repair is, it is left to those who mend the lamp for nothing."""
    base = base_from(TEXT.replace("opening:", 'covered: {fuses: ["own"]}\n  opening:'))
    told = lamp(ohms="endless", bulb_look="broken").answers
    assert Session(base, answers=told).verdict.tries
    assert Session(base, answers={**told, "fuses": Answer("own")}).verdict.tries == 0


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32))
def test_proved_means_that_rules_and_odds_agree(seed: int) -> None:
    """On random bases: what is called proved is proved by a rule or alone left standing, and has the odds."""
    session = job(bases.random_base(seed, faults=3), "lamp", random.Random(seed))
    verdict, reasoning = session.verdict, session.reasoning
    if verdict.certainty == "proved":
        assert verdict.share >= session.base.setting("proved-share")
        group = {
            fault
            for fault in session.circuit.faults
            if session.base.faults[fault].repair == session.base.faults[verdict.faults[0]].repair
        }
        alone = set(session.circuit.faults) - set(reasoning.exclusions) <= group
        shown = all(fault in reasoning.proofs and fault not in reasoning.exclusions for fault in verdict.faults)
        assert alone or shown
    if verdict.kind == "likely":
        assert verdict.share >= session.base.setting("likely-share")


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**32))
def test_every_session_has_a_next_step(seed: int) -> None:
    """On random bases and answers the program asks something sensible, or ends."""
    session = job(bases.random_base(seed), random.Random(seed).choice(("lamp", "other")), random.Random(seed))
    step = session.step
    if isinstance(step, Ask) and not step.again:
        assert step.question not in session.answers
        assert session.fits(step.question)


def test_an_empty_session_asks_the_opening_in_order() -> None:
    """First what kind of lamp, then what it does."""
    session = Session(small_base())
    assert session.step == Ask("kind")
    assert session.answer("kind", Answer("lamp")).step == Ask("complaint")


def test_why_not_to_buy_is_said_of_the_fault_alone() -> None:
    """A plug is not cleared by what rules out plug and bulb together: its own odds are told instead."""
    pair = "green-and-broken"
    wider = ("excludes: broken, because: Current", f"excludes: [broken, {pair}], because: Current")
    base = base_from(TEXT.replace(*wider))
    session = Session(base, answers=lamp(ohms="low").answers)
    found = not_bought(session, "new-plug")
    assert pair in session.reasoning.exclusions
    assert "green" not in session.reasoning.exclusions
    assert found.because == ""
    assert found.share == pytest.approx(session.belief.share("green") + session.belief.share(pair))
