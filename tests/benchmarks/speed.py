"""How fast it is: reasoning against CLIPS, start against bare imports, answer to next question, memory.

`python -m tests.benchmarks.speed [--quick] [--json] [--seed N]`. Times are processor time of this process, so that a
busy machine does not blur them; ratios are of times taken in turn in one run. Reasoning: 30 findings of a job, declared
afresh and run to quiescence, by experta as used here and by CLIPS (clipspy, https://clipspy.readthedocs.io) on the same
ground rules, both with the rules compiled beforehand; see `grown` for the bases of 800, 2,000 and 5,000 rules.
Of CLIPS only asserting and running counts, not reading back what fired. Start: a new process on a pseudo-terminal to
its first question, and leaving, beside one that only imports the packages it uses.
"""

from __future__ import annotations

import os
import random
import resource
import sys
import tempfile
from collections.abc import Mapping
from statistics import median

import numpy as np
import pexpect

from engine._experta import Network, Pattern
from engine.base import Base
from engine.events import Answered, apply
from engine.expectations import expectations
from engine.grounding import Circuit, ground
from engine.session import Ask, Fill, Session
from tests.benchmarks import simulation
from tests.benchmarks.grown import TenTimes, circuit
from tests.benchmarks.running import Figures, Options, Stopwatch, run, shipped
from tests.oracles.clips import Clips

TECHNOLOGY = 0  # the first by name
FINDINGS = 30
GROWN = (200, 800, 2000, 5000)
PROMPT = "\x1b[?25h"  # the line editor shows its cursor
PACKAGES = ("engine._experta", "numpy", "pydantic", "yaml", "prompt_toolkit", "platformdirs", "sqlite3")


def findings(base: Base, known: Circuit, rng: random.Random) -> Mapping[str, str]:
    """Answers to 30 questions that rules look at, the technology and a complaint among them."""
    looked_at = {leaf.name for rule in known.rules for leaf in (*rule.when, *rule.unless)}
    names = rng.sample(sorted(looked_at.intersection(base.questions) - {base.roles.technology}), FINDINGS - 1)
    return {
        base.roles.technology: known.technology or "",
        **{name: rng.choice(list(base.questions[name].outcomes)) for name in names},
    }


def reasoning(base: Base, asked: Options) -> Figures:
    """Experta as used here, and CLIPS, on today's rules and on grown bases."""
    rng = random.Random(asked.seed)
    technology = sorted(base.technologies)[TECHNOLOGY]
    jobs = [findings(base, circuit(base, technology), rng) for _ in range(10)]
    sizes: dict[str, int | None] = {"today": None, **{str(size): size for size in GROWN}}
    rows = {
        name: _race(circuit(base, technology, size), jobs, 3 if asked.quick else 10) for name, size in sizes.items()
    }
    return {
        "reasoning_vs_clips": {name: row["ratio"] for name, row in rows.items()},
        "reasoning": [{"base": name, **row} for name, row in rows.items()],
    }


def _race(known: Circuit, jobs: list[Mapping[str, str]], rounds: int) -> dict[str, float]:
    """Both engines in turn over the same jobs, the quietest of several rounds of each job counting."""
    ours, theirs = Stopwatch(), Stopwatch()
    built = Stopwatch()
    with built.lap():
        network = Network(
            [Pattern(one.when, one.unless) for one in known.rules], [one.concludes for one in known.rules]
        )
        network.infer(())
    clips = Clips(known.rules)
    for job in jobs:
        quick, other = Stopwatch(), Stopwatch()
        for _ in range(rounds):
            with quick.lap():
                network.infer(job.items())
            with other.lap():
                clips.run(job.items())
        ours.laps.append(min(quick.laps))
        theirs.laps.append(min(other.laps))
    mine, clipped = median(ours.laps), median(theirs.laps)
    return {
        "rules": len(known.rules),
        "experta_ms": round(mine, 3),
        "clips_ms": round(clipped, 3),
        "ratio": round(mine / clipped, 2),
        "compile_ms": round(built.laps[0], 1),
    }


def start(asked: Options) -> Figures:
    """A new process to its first question, and one with the bare imports, in turn."""
    with tempfile.TemporaryDirectory() as folder:
        bare = ["-c", "; ".join(f"import {name}" for name in PACKAGES)]
        program = ["-m", "shell", "--data", folder, "diagnose"]
        cold = _spent(program, folder, PROMPT)
        rounds = range(4 if asked.quick else 12)
        both = [(_spent(bare, folder), _spent(program, folder, PROMPT)) for _ in rounds]
    imports, whole = min(one for one, _ in both), min(one for _, one in both)
    return {
        "start_vs_imports": round(whole / imports, 2),
        "start_ms": round(whole),
        "imports_ms": round(imports),
        "first_start_ms": round(cold),
    }


def _spent(arguments: list[str], folder: str, prompt: str = "") -> float:
    """Processor time of a process on a pseudo-terminal, in milliseconds, left at its first prompt if it has one."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    kept = {"XDG_CACHE_HOME": folder, "XDG_STATE_HOME": folder, "TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1"}
    child = pexpect.spawn(sys.executable, arguments, env={**os.environ, **kept}, timeout=60, dimensions=(40, 100))
    if prompt:
        child.expect_exact(prompt)
        child.send("park\r")
    child.expect_exact(pexpect.EOF)
    child.close()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return 1000 * (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)


def answering(kind: type[Session], base: Base, asked: Options) -> Figures:
    """From an answer to the next question, the opening left out, over simulated jobs, each begun with nothing known."""
    watch, jobs = Stopwatch(), 8 if asked.quick else 60
    for number in range(jobs):
        expectations.cache_clear()
        ground.cache_clear()
        drawn = simulation.draw(base, np.random.default_rng([asked.seed, number]))
        simulation.play(kind(base), _Timed(base, drawn, (asked.seed, number), watch))
    return {"questions": len(watch.laps), "p50_ms": watch.percentile(50), "p95_ms": watch.percentile(95)}


class _Timed(simulation.Car):
    """A car that has the session find its next step, with the watch running, as soon as it has been answered."""

    def __init__(self, base: Base, drawn: tuple[str, str, str], number: tuple[int, int], watch: Stopwatch) -> None:
        super().__init__(base, *drawn, number, 0.0)
        self.watch = watch

    def answer(self, session: Session, question: str) -> str:
        said = super().answer(session, question)
        then = apply(session, Answered(question, said))
        with self.watch.lap():
            step = then.step
        if isinstance(step, Fill) or (isinstance(step, Ask) and step.question in session.base.roles.opening):
            self.watch.laps.pop()
        return said


def memory(whose: int) -> float:
    """The most memory that this process, or the largest of its children, has held, in MB."""
    return round(resource.getrusage(whose).ru_maxrss / 1024, 1)


def measure(asked: Options) -> Figures:
    """Speed and memory."""
    base = shipped()
    return {
        **start(asked),
        "memory_at_first_question_mb": memory(resource.RUSAGE_CHILDREN),
        **reasoning(base, asked),
        "next_question": answering(Session, base, asked),
        "memory_after_jobs_mb": memory(resource.RUSAGE_SELF),
        "next_question_ten_times_the_rules": answering(TenTimes, base, asked),
    }


if __name__ == "__main__":
    sys.exit(run("speed", __doc__, measure))
