"""Textbook examples as small knowledge bases: priors, what is usual, and rules whose ratios make the book's tables."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from engine import Answer, Base, Session
from tests.oracles import bases

NO_SLIP = 1e-12  # textbooks know no slips, and a slip of nothing has no logarithm


def textbook(
    priors: Mapping[str, float],
    questions: Mapping[str, Mapping[str, float]],
    rules: list[dict[str, Any]],
    settings: Mapping[str, float],
    costs: Mapping[str, float] | None = None,
) -> Base:
    """A base of one lamp: faults with these priors, of which what is missing to one is the unknown's.

    `questions` give each outcome its usual share; `rules` are as in a knowledge file, less reason and source; `costs`
    are those of the repairs, nothing if not given. No minutes are counted.
    """
    entries = bases.random_entries(0)
    figures = {**dict.fromkeys(("asking-minutes", "attempt-minutes", "stray-frequency"), 0.0), **settings}
    figures |= {f"slip-{kind}": NO_SLIP for kind in ("circumstance", "symptom", "test", "reading")}
    figures["unknown-share"] = 1 - sum(priors.values())
    for name, value in figures.items():
        entries["settings"][name] = {"value": value, "says": "As the book has it."}
    mend = {"name": "mend it", "minutes": 0, "steps": ["Mend it."], "proof": ["Try it."]}
    entries["faults"] = {
        name: {"name": f"fault {name}", "says": "It is faulty.", "node": "n0", "mode": "open", "repair": f"m-{name}"}
        for name in priors
    }
    entries["repairs"] = {
        f"m-{name}": {**mend, "part": {"ask_for": "a part", "new": [cost, cost]}}
        for name, cost in ((name, (costs or {}).get(name, 1.0)) for name in priors)
    }
    for technology in entries["technologies"].values():
        technology["frequencies"] = {name: {"any": 100 * share} for name, share in priors.items()}
        technology["paths"] = {}
    kept = {name: entries["questions"][name] for name in ("kind", "complaint", *bases.CIRCUMSTANCES)}
    entries["questions"] = kept | {name: _question(name, outcomes) for name, outcomes in questions.items()}
    entries["rules"] = {
        f"r{number}": {"because": "The book says so.", "source": "invented", **rule}
        for number, rule in enumerate(rules)
    }
    return bases.base_of(entries)


def _question(name: str, outcomes: Mapping[str, float]) -> dict[str, Any]:
    said = {one: {"say": f"It is {one}.", "usual": share} for one, share in outcomes.items()}
    return {"kind": "test", "title": f"test {name}", "ask": "What does it say?", "minutes": 0, "outcomes": said}


def evidence(base: Base, **answers: str) -> Session:
    """The session after these answers."""
    session = Session(base).answer("kind", Answer("lamp"))
    for question, outcome in answers.items():
        session = session.answer(question, Answer(outcome))
    return session
