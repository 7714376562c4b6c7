"""Whether it agrees with others: firings with CLIPS and plain code, odds with a Bayesian network, plans with search.

`python -m tests.benchmarks.agreement [--quick] [--json] [--seed N]`. Reasoning: random rules and the shipped base,
random answers; every firing, with the facts it matched, must be the same in experta as used here, in CLIPS (clipspy,
https://clipspy.readthedocs.io) and by the naive evaluator of `tests.oracles.brute`. Belief: variable elimination by
pgmpy (https://pgmpy.org). Planning: on small random bases the optimum by dynamic programming must be what plain
recursion through every order finds, and what the planner costs is told beside it.
"""

from __future__ import annotations

import random
import sys
from functools import partial
from statistics import fmean

from engine.base import Base
from engine.belief import UNKNOWN
from engine.costs import Prices, question_cost, repair_cost, way
from engine.expectations import expectations
from engine.grounding import Circuit, ground
from engine.reasoning import reason
from engine.session import Answer, Session
from tests.benchmarks import policies
from tests.benchmarks.optimum import optimum
from tests.benchmarks.running import Figures, Options, each, run, shipped
from tests.benchmarks.slices import CLOSED, Slice, askable
from tests.oracles import bases, brute, network, odds, plans
from tests.oracles.clips import Clips
from tests.shipped import job

RANDOM, SHIPPED = 12_000, 8_400
QUICK_RANDOM, QUICK_SHIPPED = 1_200, 560
FINDINGS = 3  # sets of answers to each set of random rules
ODDS, QUICK_ODDS = 210, 21
PLANS, QUICK_PLANS = 200, 20
ASKED = 3  # questions of a small problem; plain recursion goes through all their orders


def on_random_rules(count: int, seed: int) -> Figures:
    """Random rules and random answers."""
    return _compared(each(_random_rules, [(seed, number) for number in range(count // FINDINGS)]))


def _random_rules(number: tuple[int, int]) -> tuple[int, int, int]:
    rng = random.Random(f"rules {number}")
    circuit = bases.circuit(bases.ground_rules(rng))
    return _compare(circuit, [bases.findings(rng) for _ in range(FINDINGS)])


def on_shipped_rules(base: Base, count: int, seed: int) -> Figures:
    """Every technology of the shipped base, random answers to some of what its rules look at."""
    technologies = [None, *base.technologies]
    batch = 35
    wanted = [
        (technology, f"shipped {seed} {technology} {number}")
        for technology in technologies
        for number in range(count // len(technologies) // batch)
    ]
    return _compared(each(partial(_shipped_rules, base, batch), wanted))


def _shipped_rules(base: Base, batch: int, wanted: tuple[str | None, str]) -> tuple[int, int, int]:
    technology, dice = wanted
    rng = random.Random(dice)
    told = [job(base, technology, rng, most=rng.randint(5, 40)).told for _ in range(batch)]
    return _compare(ground(base, technology), told)


def _compare(circuit: Circuit, answers: list) -> tuple[int, int, int]:  # type: ignore[type-arg]  # of mappings
    """How many sets of answers were tried, firings met, and cases in which the three did not agree."""
    clips, numbers = Clips(circuit.rules), {id(rule): number for number, rule in enumerate(circuit.rules)}
    firings = apart = 0
    for told in answers:
        ours = [(numbers[id(one.rule)], one.facts) for one in reason(circuit, told).firings]
        firings += len(ours)
        theirs = clips.fire(told.items())
        apart += len(ours) != len(set(ours)) or set(ours) != theirs or theirs != brute.fire(circuit.rules, told.items())
    return len(answers), firings, apart


def _compared(found: list[tuple[int, int, int]]) -> Figures:
    cases, firings, apart = (sum(column) for column in zip(*found, strict=True))
    return {"cases": cases, "firings": firings, "disagreements": apart}


def on_odds(base: Base, count: int, seed: int) -> Figures:
    """The largest difference of any share of any fault from that of the Bayesian network."""
    found = each(partial(_odds, base), [(seed, number) for number in range(count)])
    return {"cases": len(found), "largest_difference": max(found)}


def _odds(base: Base, number: tuple[int, int]) -> float:
    rng = random.Random(f"odds {number}")
    session = job(bases.random_base(rng.randrange(2**32)), "lamp", rng)
    if number[1] % 3 == 0:
        session = job(base, rng.choice(list(base.technologies)), rng, most=7)
    expected = network.posterior(session.circuit, session.evidence, session.findings, session.complaint)
    got = {**dict(session.belief.ranking()), odds.UNKNOWN: session.belief.unknown}
    return max(abs(got[fault] - share) for fault, share in expected.items())


def on_plans(count: int, seed: int) -> Figures:
    """Small random problems: the optimum twice, and the planner beside it."""
    found = [one for one in each(_plans, [(seed, number) for number in range(count)]) if one is not None]
    ratios = [planned / best for best, _, planned in found]
    return {
        "cases": len(found),
        "largest_difference_of_optima": max(abs(best - searched) for best, searched, _ in found),
        "planner_vs_search_mean": round(fmean(ratios), 5),
        "planner_vs_search_worst": round(max(ratios), 5),
    }


def _plans(number: tuple[int, int]) -> tuple[float, float, float] | None:
    """The optimum by dynamic programming and by plain recursion, and the planner's cost; None with nothing to ask."""
    dice = random.Random(f"plans {number}").randrange(2**32)
    base = bases.random_base(dice, faults=3)
    session = Session(base).answer("kind", Answer("lamp")).answer("complaint", Answer("dead"))
    shares = session.belief.shares
    candidates = tuple(askable(session, list(range(len(shares)))))[:ASKED]
    if not candidates:
        return None
    problem = Slice("small", base, session.circuit.faults, shares, candidates)
    masses = dict(zip((*problem.faults, UNKNOWN), map(float, shares), strict=True))
    searched = plans.ask(_plain(problem), masses, CLOSED, len(candidates))
    return optimum(problem).cost, searched, policies.follow(problem, policies.planned).cost


def _plain(problem: Slice) -> plans.Problem:
    """The same problem for plain recursion; a repair goes by its parts."""
    base, prices, everything = problem.base, Prices(), frozenset(problem.base.access)
    repairs = {" ".join(names): names for names in problem.planner.repairs}
    named = {names: name for name, names in repairs.items()}
    return plans.Problem(
        repair_of={fault: named[base.faults[fault].repair] for fault in problem.faults},
        price={name: repair_cost(base, prices, names, everything) for name, names in repairs.items()},
        needs={
            name: frozenset(state for one in names for state in way(base, base.repairs[one].access))
            for name, names in repairs.items()
        },
        opening={name: entry.minutes * prices.minute(base) for name, entry in base.access.items()},
        referral=prices.setting(base, "referral-price"),
        tests={
            one.question: plans.Test(
                question_cost(base, prices, one.question, everything),
                frozenset(way(base, base.questions[one.question].access)),
                tuple(dict(zip((*problem.faults, UNKNOWN), map(float, row), strict=True)) for row in one.likelihood),
            )
            for one in problem.candidates
        },
    )


def measure(asked: Options) -> Figures:
    """Agreement with others."""
    base, quick = shipped(), asked.quick
    for technology in base.technologies:
        _ = expectations(ground(base, technology)).speaking, ground(base, technology).network  # once for all processes
    return {
        "random_rules": on_random_rules(QUICK_RANDOM if quick else RANDOM, asked.seed),
        "shipped_rules": on_shipped_rules(base, QUICK_SHIPPED if quick else SHIPPED, asked.seed),
        "odds": on_odds(base, QUICK_ODDS if quick else ODDS, asked.seed),
        "plans": on_plans(QUICK_PLANS if quick else PLANS, asked.seed),
    }


if __name__ == "__main__":
    sys.exit(run("agreement", __doc__, measure))
