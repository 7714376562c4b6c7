"""The next step: costs as over every order of repairs, questions as by plain recursion, and what is never asked."""

from __future__ import annotations

import itertools
import random
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engine import Answer, Ask, Base, End, Fill, Session, Warn
from engine.belief import slip_of
from engine.costs import Prices, open_up, question_cost, question_minutes, repair_cost
from engine.expectations import expectations
from engine.planning import FAINT, MARGIN, TELLING, WIDTH, Candidate, Planner
from tests.oracles import bases, odds, plans
from tests.small import TEXT, base_from, small_base

SEEDS = st.integers(0, 2**32)
NOTHING: frozenset[str] = frozenset()
ORDERED = "Heckerman, Breese and Rommelse, CACM 38(3), 1995: formula from memory; figures are our own, over all orders"


def repair_shop(costs: Mapping[str, float], referral: float) -> Planner:
    """A planner over faults each cured by a repair of its own, at these costs and this price of referral."""
    entries = bases.random_entries(0)
    mend: dict[str, Any] = {"name": "mend it", "minutes": 0, "steps": ["Mend it."], "proof": ["Try it."]}
    entries["settings"]["attempt-minutes"] = {"value": 0, "says": "None."}
    entries["settings"]["referral-price"] = {"value": referral, "says": "A referral."}
    entries["faults"] = {
        name: {"name": f"fault {name}", "says": "It is faulty.", "node": "n0", "mode": "open", "repair": f"m-{name}"}
        for name in costs
    }
    entries["repairs"] = {
        f"m-{name}": {**mend, "part": {"ask_for": "a part", "new": [cost, cost]}} for name, cost in costs.items()
    }
    for technology in entries["technologies"].values():
        technology["frequencies"] = {name: {"any": 1} for name in costs}
    entries["rules"] = {}
    return Planner(bases.base_of(entries), Prices(), tuple(costs))


def expected(costs: Mapping[str, float], shares: Sequence[float], referral: float) -> float:
    """The expected cost of these faults with these shares; what is left to one is the unknown's."""
    masses = np.array([[*shares, 1 - sum(shares)]])
    return float(repair_shop(costs, referral).expected_cost(masses, NOTHING)[0])


NEVER = 1e6  # a referral so dear that nobody hands on


@pytest.mark.outside(ORDERED)
def test_three_repairs_in_order_of_probability_over_cost() -> None:
    """Faults .5, .3, .2 at 10, 3, 5: best in the order B, A, C, at 3 + .7 * 10 + .2 * 5 = 11."""
    assert expected({"a": 10, "b": 3, "c": 5}, [0.5, 0.3, 0.2], NEVER) == pytest.approx(11.0, abs=1e-6)


@pytest.mark.outside(ORDERED)
def test_repairs_that_do_not_always_cure_and_a_service_at_the_end() -> None:
    """A cures .9 of .45, B all of .25, C .95 of .20; what no repair cures is handed on at 50: 14.82."""
    shares = [0.45 * 0.9, 0.25, 0.20 * 0.95]
    assert expected({"a": 4, "b": 2, "c": 6}, shares, 50) == pytest.approx(14.82, abs=1e-9)


@pytest.mark.outside(ORDERED)
@pytest.mark.parametrize(("service", "total"), [(NEVER, 11.0 + 0.1 * NEVER), (40, 15.0)])
def test_the_cheap_long_shot_comes_first(service: float, total: float) -> None:
    """Causes .2, .4, .3 at 1, 5, 15 and .1 that nothing cures: 1 + .8 * 5 + .4 * 15 = 11, and the service on top."""
    assert expected({"cycle": 1, "reseat": 5, "new": 15}, [0.2, 0.4, 0.3], service) == pytest.approx(total, rel=1e-9)


@pytest.mark.outside(ORDERED)
def test_looking_first_and_mending_what_is_found() -> None:
    """Looking costs 2, 4, 6, mending 1, 12, 3: bulb, fuse, earth, at 13.9. The model prices the looking."""
    looking = expected({"fuse": 2, "bulb": 4, "earth": 6}, [0.2, 0.5, 0.3], NEVER)
    assert looking + 0.2 * 1 + 0.5 * 12 + 0.3 * 3 == pytest.approx(13.9, abs=1e-6)


def test_faults_with_one_repair_are_one() -> None:
    """Two faults cured by the same repair cost what one fault with their shares together costs."""
    base = small_base()
    apart = Planner(base, Prices(), ("broken", "blown"))
    assert apart.repairs == (("new-bulb",), ("new-fuse",))
    shared = Planner(base, Prices(), ("broken", "broken", "blown"))
    one = apart.expected_cost(np.array([[0.5, 0.4, 0.1]]), NOTHING)
    assert shared.expected_cost(np.array([[0.2, 0.3, 0.4, 0.1]]), NOTHING) == pytest.approx(one)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 1), st.floats(0.05, 200)), min_size=1, max_size=4),
    st.floats(0, 1),
    st.floats(0, 300),
)
def test_expected_cost_is_the_best_of_all_orders_and_hand_overs(
    faults: list[tuple[float, float]], unknown: float, referral: float
) -> None:
    """No order of repairs, and no moment of handing on, is expected to cost less."""
    total = sum(share for share, _ in faults) + unknown
    assume(total > 0.01)
    names = [f"f{number}" for number in range(len(faults))]
    costs = {name: cost for name, (_, cost) in zip(names, faults, strict=True)}
    groups = {name: share / total for name, (share, _) in zip(names, faults, strict=True)}
    best = plans.least({**groups, "": unknown / total}, costs, referral)
    planner = _cheap_shop(costs, referral)
    masses = np.array([[*groups.values(), unknown / total]])
    assert float(planner.expected_cost(masses, NOTHING)[0]) == pytest.approx(best, rel=1e-9, abs=1e-9)


def _cheap_shop(costs: Mapping[str, float], referral: float) -> Planner:
    """As `repair_shop`, by prices of one's own over one base, which is quicker."""
    base = _SHOP.base
    parts = {f"m-{name}": cost for name, cost in costs.items()}
    return Planner(base, Prices(settings={"referral-price": referral}, parts=parts), tuple(costs))


_SHOP = repair_shop({f"f{number}": 1 for number in range(4)}, 1)


@settings(max_examples=150, deadline=None)
@given(SEEDS)
def test_free_knowledge_never_makes_the_job_dearer(seed: int) -> None:
    """The value of information is never negative: told for nothing, no question raises the expected cost."""
    rng = np.random.default_rng(seed)
    costs = {f"f{number}": float(rng.choice([1, 5, 20, 100])) for number in range(4)}
    planner = _cheap_shop(costs, float(rng.choice([5, 50, 150])))
    masses = rng.dirichlet(np.full(5, 0.5))
    rows = rng.dirichlet(np.full(3, 0.5), size=5).T  # outcomes by faults
    after = planner.expected_cost(rows * masses, NOTHING).sum()
    assert after <= planner.expected_cost(masses[None, :], NOTHING)[0] + 1e-9


@settings(max_examples=40, deadline=None)
@given(SEEDS)
def test_two_questions_ahead_is_what_plain_recursion_gives(seed: int) -> None:
    """Planned two ahead, the choices are those worth their cost, at the values of following every answer by hand."""
    session, problem, opened = puzzle(seed)
    shares, candidates = session.belief.shares, candidates_of(session)
    masses = dict(zip((*session.circuit.faults, odds.UNKNOWN), map(float, shares), strict=True))
    assert len(candidates) < WIDTH
    plan = Planner(session.base, Prices(), session.circuit.faults).plan(shares, candidates, opened, width=WIDTH - 1)
    assert plan.act_now == pytest.approx(plans.act(problem, masses, opened), rel=1e-9)
    values = {one.question: plans.first(problem, masses, opened, 2, one.question) for one in candidates}
    worth = {name: value for name, value in values.items() if value < plan.act_now - MARGIN}
    assert {choice.question: choice.value for choice in plan.choices} == pytest.approx(worth, rel=1e-9)
    assert [choice.value for choice in plan.choices] == sorted(choice.value for choice in plan.choices)


@settings(max_examples=25, deadline=None)
@given(SEEDS)
def test_looking_closer_lies_between_two_and_three_ahead(seed: int) -> None:
    """No choice is valued higher than two questions ahead, nor lower than three ahead by plain recursion."""
    session, problem, opened = puzzle(seed)
    shares, candidates = session.belief.shares, candidates_of(session)
    masses = dict(zip((*session.circuit.faults, odds.UNKNOWN), map(float, shares), strict=True))
    plan = Planner(session.base, Prices(), session.circuit.faults).plan(shares, candidates, opened)
    for choice in plan.choices:
        two = plans.first(problem, masses, opened, 2, choice.question)
        three = plans.first(problem, masses, opened, 3, choice.question)
        assert three - 1e-9 <= choice.value <= two + 1e-9


def puzzle(seed: int) -> tuple[Session, plans.Problem, frozenset[str]]:
    """A job on a random base, the same problem for the plain planner, and how far the car is apart.

    Of the bases from this seed on the first that the planner does not narrow down.
    """
    for entries in (bases.random_entries(number, faults=4) for number in itertools.count(seed)):
        session = Session(bases.base_of(entries)).answer("kind", Answer("lamp")).answer("complaint", Answer("dead"))
        likelihoods = [one.likelihood for one in candidates_of(session)]
        telling = all((one.max(axis=1) > TELLING * one.min(axis=1)).any() for one in likelihoods)
        if "pair" not in entries["faults"] and session.belief.shares.min() >= FAINT and telling:
            break
    opened = open_up(session.base, random.Random(seed).choice((None, "open", "out")), NOTHING)
    return session, problem_of(entries, session), opened


def candidates_of(session: Session) -> list[Candidate]:
    """Every question the rules look at."""
    table = expectations(session.circuit)
    return [
        Candidate(name, table.likelihood(name, session.circumstances, slip_of(session.base, name)))
        for name in sorted(table.speaking)
    ]


def problem_of(entries: bases.Json, session: Session) -> plans.Problem:
    """The same problem for the plain planner, from the entries as they stand in a file; a minute costs one."""
    ways = {"open": frozenset({"open"}), "out": frozenset({"open", "out"})}
    lost = float(entries["settings"]["attempt-minutes"]["value"])
    prices = {}
    for name in {entry["repair"] for entry in entries["faults"].values()}:
        repair = entries["repairs"][name]
        prices[name] = repair["minutes"] + (repair["part"]["new"][0] + lost if "part" in repair else 0)
    tests = {}
    for name in expectations(session.circuit).speaking:
        entry = entries["questions"][name]
        rows = odds.slipping(session.circuit, name, session.circumstances, slip_of(session.base, name))
        tests[name] = plans.Test(entry["minutes"], ways.get(entry.get("access"), NOTHING), tuple(rows.values()))
    return plans.Problem(
        repair_of={fault: entry["repair"] for fault, entry in entries["faults"].items()},
        price=prices,
        needs={name: ways.get(entries["repairs"][name].get("access"), NOTHING) for name in prices},
        opening={name: float(entry["minutes"]) for name, entry in entries["access"].items()},
        referral=float(entries["settings"]["referral-price"]["value"]),
        tests=tests,
    )


def test_a_question_that_says_nothing_is_never_chosen() -> None:
    """Beside a question that tells, one whose outcomes are as likely under every fault is not even offered."""
    base = small_base()
    faults = ("broken", "blown")
    telling = Candidate("fuse-look", np.array([[0.9, 0.1, 0.5], [0.1, 0.9, 0.5]]))
    silent = Candidate("smell", np.array([[0.7, 0.7, 0.7], [0.3, 0.3, 0.3]]))
    shares = np.array([0.48, 0.48, 0.04])
    plan = Planner(base, Prices(), faults).plan(shares, [silent, telling], NOTHING)
    assert [choice.question for choice in plan.choices] == ["fuse-look"]


def test_a_question_dearer_than_what_it_saves_is_not_chosen() -> None:
    """The same telling question, once an hour is worth so little and once so much that it is not worth its minutes."""
    faults, shares = ("broken", "blown"), np.array([0.48, 0.48, 0.04])
    telling = Candidate("fuse-look", np.array([[0.9, 0.1, 0.5], [0.1, 0.9, 0.5]]))
    entry = small_base().questions["fuse-look"].model_copy(update={"price": 500})
    dear = with_question("fuse-look", entry)
    assert Planner(small_base(), Prices(), faults).plan(shares, [telling], NOTHING).best
    assert Planner(dear, Prices(), faults).plan(shares, [telling], NOTHING).best is None


def with_question(name: str, entry: Any) -> Base:
    """The small base with one question changed."""
    base = small_base()
    parts = {field: getattr(base, field) for field in base.__dataclass_fields__}
    return Base(**{**parts, "questions": {**base.questions, name: entry}})


def test_access_is_paid_once() -> None:
    """Minutes to open the bonnet count for the first question under it, and no more for the second."""
    base, prices = small_base(), Prices()
    before = question_minutes(base, prices, "ohms", NOTHING)
    opened = open_up(base, base.questions["bulb-look"].access, NOTHING)
    assert before - question_minutes(base, prices, "ohms", opened) == pytest.approx(2)
    assert question_minutes(base, prices, "fuse-look", NOTHING) == question_minutes(base, prices, "fuse-look", opened)
    first = Session(base).answer("bulb-look", Answer("whole"))
    assert first.opened == opened


def test_access_of_a_repair_is_paid_once_within_it() -> None:
    """A repair with a part costs part, minutes, way and the time lost on getting it: 10 + 10 + 2 + 10, less the way."""
    base = small_base()
    assert repair_cost(base, Prices(), ("new-bulb",), NOTHING) == pytest.approx(32)
    assert repair_cost(base, Prices(), ("new-bulb",), frozenset({"open"})) == pytest.approx(30)
    assert repair_cost(base, Prices(), ("new-plug", "new-bulb"), NOTHING) == pytest.approx(10 + 40 + 10 + 10 + 2 + 10)


def test_own_figures_come_before_shipped_ones() -> None:
    """Prices, minutes of access and the value of an hour that a person has set are used instead of the shipped ones."""
    base = small_base()
    own = Prices(settings={"hour-value": 120}, access={"open": 5}, parts={"new-bulb": 100})
    assert repair_cost(base, own, ("new-bulb",), NOTHING) == pytest.approx(100 + 2 * (10 + 5 + 10))


def test_looking_may_count_less_than_mending() -> None:
    """By hand: 6 minutes of looking at half the rate and 2 of opening at the whole, at 1 u a minute, are 5 u."""
    base = small_base()
    own = Prices(settings={"looking-share": 0.5, "asking-minutes": 0})
    minutes = base.questions["ohms"].minutes
    assert question_cost(base, own, "ohms", NOTHING) == pytest.approx(minutes / 2 + 2)
    assert question_cost(base, own, "ohms", frozenset({"open"})) == pytest.approx(minutes / 2)


def test_an_answer_costs_more_from_somebody_who_can_seldom_give_one() -> None:
    """By hand: with two answers taken to have come before, two of four that came make six asked for four: 1.5 times."""
    base = small_base()
    own = Prices(settings={"looking-share": 0.5})
    assert own.per_answer(base, []).setting(base, "looking-share") == pytest.approx(0.5)
    assert own.per_answer(base, ["low", "open"]).setting(base, "looking-share") == pytest.approx(0.5)
    assert own.per_answer(base, ["low", None, None, "open"]).setting(base, "looking-share") == pytest.approx(0.75)


def asked(session: Session, answers: Mapping[str, str], declining: bool = False) -> list[str]:
    """The questions asked one by one until the end, answered from a map, else with `cannot tell`."""
    found: list[str] = []
    for _ in range(60):
        step = session.step
        if isinstance(step, End):
            return found
        if isinstance(step, Warn):
            session = session.decline(step.cautions) if declining else session.acknowledge(step.cautions)
        elif isinstance(step, Fill):
            for item in step.items:
                session = session.answer(item, Answer(answers.get(item, session.base.rest(step.form, item))))
        else:
            assert isinstance(step, Ask)
            found.append(step.question)
            session = session.answer(step.question, Answer(answers.get(step.question)))
    raise AssertionError("no end")


DEAD = {"kind": "lamp", "complaint": "dead", "showing": "yes"}


def test_a_test_whose_tool_is_missing_is_not_asked() -> None:
    """Without a meter no question that needs one is asked; with one they are."""
    meter = {"ohms", "volts"}
    assert not meter & set(asked(Session(small_base()), {**DEAD, "have-meter": "no"}))
    assert meter & set(asked(Session(small_base()), {**DEAD, "have-meter": "yes"}))


def test_a_declined_danger_is_not_brought_up_again() -> None:
    """A person who will not measure at live wires is not asked to, and gets a verdict from the rest."""
    questions = asked(Session(small_base()), DEAD, declining=True)
    assert "volts" not in questions
    assert "ohms" in questions


def test_a_serious_caution_comes_before_its_question() -> None:
    """The first step towards a test at live wires is the caution; once read, the test follows."""
    session = Session(small_base())
    for question, outcome in {**DEAD, "have-meter": "yes", "light.other": "works"}.items():
        session = session.answer(question, Answer(outcome))
    while not isinstance(session.step, Warn):
        assert isinstance(session.step, Ask)
        session = session.answer(session.step.question, Answer(None))
    assert session.step == Warn(("spark",), "volts")
    assert session.acknowledge(["spark"]).step == Ask("volts")


def test_no_question_is_asked_twice() -> None:
    """Answered or not, a question comes up once, as long as no answers clash."""
    questions = asked(Session(small_base()), DEAD)
    assert len(questions) == len(set(questions))


def test_a_question_put_off_waits() -> None:
    """`Later` takes a question out of the plan without counting as an answer."""
    session = Session(small_base())
    for question, outcome in {**DEAD, "have-meter": "yes", "light.other": "works"}.items():
        session = session.answer(question, Answer(outcome))
    best = session.plan.best
    assert best is not None
    later = session.put_off(best.question)
    assert best.question not in {choice.question for choice in later.plan.choices}
    assert np.array_equal(later.belief.shares, session.belief.shares)


def test_what_is_known_already_is_not_asked() -> None:
    """A question that another answer makes moot is no candidate, and its answer may still be volunteered."""
    text = TEXT.replace("ask: How much?,", "ask: How much?, moot: {ohms: endless},")
    session = Session(base_from(text), {"kind": Answer("lamp"), "complaint": Answer("dead")})
    assert session.open_to("volts")
    told = session.answer("ohms", Answer("endless"))
    assert not told.open_to("volts")
    assert told.answer("volts", Answer("full")).evidence["volts"] == "full"


def test_under_guarantee_all_that_is_broken_is_handed_on() -> None:
    """What is normal is left at its own cost; of two broken parts neither is tried."""
    base = base_from(TEXT.replace("mode: open, repair: new-fuse", "mode: open, kind: normal, repair: new-fuse"))
    planner = Planner(base, Prices(), ("broken", "blown", "green"), covered=True)
    leaving = repair_cost(base, Prices(), ("new-fuse",), NOTHING)
    assert planner.expected_cost(np.array([[0.5, 0.0, 0.3, 0.2]]), NOTHING)[0] == pytest.approx(100)
    assert planner.expected_cost(np.array([[0.0, 1.0, 0.0, 0.0]]), NOTHING)[0] == pytest.approx(leaving)
