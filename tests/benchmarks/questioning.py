"""How good the questioning is: on slices against the exact optimum, on the whole base by simulated jobs.

`python -m tests.benchmarks.questioning [--quick] [--json] [--seed N]`. Costs are in u, the unit of the rule base, and
everything is counted: questions, access, parts, working time and handing on. See `slices` for how slices are chosen,
`policies` for the ways of asking, `optimum` for the best possible. Jobs: see `simulation`; once as the expectations and
each question's slips have it, once with one answer in twenty wrong beside. The full run takes half an hour on two
quiet processors.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from statistics import fmean

import numpy as np

from engine.base import Base
from engine.session import Session
from tests.benchmarks import policies, simulation
from tests.benchmarks.optimum import optimum
from tests.benchmarks.running import Figures, Options, each, run, shipped
from tests.benchmarks.slices import CLOSED, Slice, chosen

JOBS, QUICK_JOBS = 5_000, 20
OTHERS = 5  # of so many jobs one is played by the other ways of asking too
QUICK_STATES = 100_000
ONE_IN_TWENTY = 0.05


@dataclass(frozen=True)
class Run:
    """The figures of one slice: expected costs in u, and expected numbers of questions."""

    name: str
    sizes: dict[str, int]
    costs: dict[str, float]
    questions: dict[str, float]

    def figures(self) -> Figures:
        """For people and programs."""
        rounded = {name: round(cost, 2) for name, cost in self.costs.items()}
        asked = {f"questions_{name}": round(count, 2) for name, count in self.questions.items()}
        ratio = {"vs_optimum": round(self.ratio("planner", "optimum"), 4)}
        return {"slice": self.name, **self.sizes, **ratio, **rounded, **asked}

    def ratio(self, way: str, other: str) -> float:
        """What one way costs as a multiple of another."""
        return self.costs[way] / self.costs[other]


def weigh(problem: Slice) -> Run:
    """Every way of asking on one slice."""
    best = optimum(problem)
    ways = {"planner": policies.planned, "one_ahead": policies.one_ahead, "chart": policies.chart}
    found = {name: policies.follow(problem, way) for name, way in ways.items()}
    costs = {name: one.cost for name, one in found.items()}
    rest = {
        "acting_now": problem.act(problem.shares, CLOSED),
        "replacing": policies.replacing(problem),
        "perfect": policies.bound(problem),
    }
    asked = {"optimum": best.questions, **{name: one.questions for name, one in found.items()}}
    sizes = {"faults": len(problem.faults), "questions": len(problem.candidates), "states": best.states}
    return Run(problem.name, sizes, {"optimum": best.cost, **costs, **rest}, asked)


def on_slices(base: Base, asked: Options) -> Figures:
    """The ratios on all slices, and the slices behind them."""
    slices = chosen(base, 2, asked.seed, most=QUICK_STATES) if asked.quick else chosen(base, 2, asked.seed)
    runs = each(weigh, slices)

    def ratios(way: str, other: str) -> list[float]:
        return [one.ratio(way, other) for one in runs]

    return {
        "mean_vs_optimum": round(fmean(ratios("planner", "optimum")), 4),
        "worst_vs_optimum": round(max(ratios("planner", "optimum")), 4),
        "mean_vs_replacing": round(fmean(ratios("planner", "replacing")), 4),
        "optimum_vs_replacing": round(fmean(ratios("optimum", "replacing")), 4),
        "mean_vs_acting_now": round(fmean(ratios("planner", "acting_now")), 4),
        "one_ahead_vs_optimum": round(fmean(ratios("one_ahead", "optimum")), 4),
        "one_ahead_worst": round(max(ratios("one_ahead", "optimum")), 4),
        "chart_vs_optimum": round(fmean(ratios("chart", "optimum")), 4),
        "chart_worst": round(max(ratios("chart", "optimum")), 4),
        "slices": [one.figures() for one in runs],
    }


WAYS: dict[str, simulation.Way | None] = {
    "planner": None,
    "one_ahead": simulation.by(policies.one_ahead),
    "chart": simulation.by(policies.chart),
}


def job(base: Base, seed: int, wrong: float, number: int) -> dict[str, simulation.Job]:
    """One job, the same car for every way of asking."""
    drawn = simulation.draw(base, np.random.default_rng([seed, number]))
    found = {}
    for name, way in WAYS.items():
        if way is not None and number % OTHERS:
            continue
        car = simulation.Car(base, *drawn, (seed, number), wrong)
        ended = simulation.play(Session(base), car, way)
        found[name] = simulation.close(ended, car)
        found["replacing"] = simulation.unasked(ended, car)
    return found


def on_jobs(base: Base, asked: Options) -> Figures:
    """Simulated jobs on the whole base, twice."""
    count = QUICK_JOBS if asked.quick else JOBS
    runs = {"as_expected": 0.0, "one_in_twenty_wrong": ONE_IN_TWENTY}
    return {
        "jobs": count,
        **{name: _summed(each(partial(job, base, asked.seed, wrong), range(count))) for name, wrong in runs.items()},
    }


def _summed(jobs: Sequence[dict[str, simulation.Job]]) -> Figures:
    return {
        **{way: _mean([one[way] for one in jobs if way in one]) for way in jobs[0]},
        "planner_on_jobs_of_others": _mean([one["planner"] for one in jobs if len(one) == len(jobs[0])]),
        "perfect_information": round(fmean(one["planner"].perfect for one in jobs), 2),
    }


def _mean(jobs: Sequence[simulation.Job]) -> Figures:
    sure = [one for one in jobs if one.verdict == "proved"]
    return {
        "jobs": len(jobs),
        "cost": round(fmean(one.cost for one in jobs), 2),
        "questions": round(fmean(one.questions for one in jobs), 2),
        "right_at_the_end": round(fmean(one.right for one in jobs), 4),
        "right_when_proved": round(fmean(one.right for one in sure), 4) if sure else None,
        "sound_parts": round(fmean(one.sound_parts for one in jobs), 3),
    }


def measure(asked: Options) -> Figures:
    """The quality of the questioning."""
    base = shipped()
    return {**on_slices(base, asked), "whole_base": on_jobs(base, asked)}


if __name__ == "__main__":
    sys.exit(run("questioning", __doc__, measure))
