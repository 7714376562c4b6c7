"""What a change of the rule base moved: worked cases that end otherwise, worst first, and the entries that differ."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from engine.base import Base
from engine.cases import Ending, Ran
from engine.schema import SECTIONS, Case

SAME = 0.02  # a smaller move of the odds is not worth a word
FLOOR = 0.0005  # a share is taken as no smaller, so that its logarithm has an end
FAILS, CLEARED, TURNED = 1000.0, 500.0, 50.0  # weights of what can happen to a case; odds count by their logarithm

Way = Literal["worse", "moved", "better"]


@dataclass(frozen=True)
class Moved:
    """A case that ends otherwise: which way, how much (for the order), and how, in sentences.

    `fails`: it ends wrong, or its fault is ruled out, and neither was so before.
    """

    case: str
    way: Way
    weight: float
    lines: tuple[str, ...]
    fails: bool


@dataclass(frozen=True)
class Edited:
    """An entry that was added, removed or changed."""

    section: str
    entry: str
    how: Literal["added", "removed", "changed"]


@dataclass(frozen=True)
class Comparison:
    """All that moved. `total` counts the cases that were run on both bases; `gone` are no longer in the base."""

    moved: tuple[Moved, ...]
    total: int
    gone: tuple[str, ...]

    def count(self, way: Way) -> int:
        """How many cases moved this way."""
        return sum(one.way == way for one in self.moved)

    @property
    def fails(self) -> int:
        """How many cases end wrong, or with their fault ruled out, that did not before."""
        return sum(one.fails for one in self.moved)


def edited(old: Base, new: Base) -> tuple[Edited, ...]:
    """The entries in which two bases differ."""
    return tuple(one for section in SECTIONS for one in _edited(section, getattr(old, section), getattr(new, section)))


def _edited(section: str, old: Mapping[str, object], new: Mapping[str, object]) -> Iterator[Edited]:
    for name in {**old, **new}:
        if name not in old:
            yield Edited(section, name, "added")
        elif name not in new:
            yield Edited(section, name, "removed")
        elif old[name] != new[name]:
            yield Edited(section, name, "changed")


def asked_of(case: Case, base: Base) -> Case:
    """The case without the answers that a base cannot be given: to questions or with outcomes that it does not have."""

    def fits(question: str, answer: str) -> bool:
        entry = base.questions.get(question)
        return entry is not None and (entry.unit is not None or answer in entry.outcomes)

    return case.model_copy(update={"answers": {name: said for name, said in case.answers.items() if fits(name, said)}})


def compare(
    cases: Mapping[str, Case], gone: Collection[str], old: Mapping[str, Ran], new: Mapping[str, Ran]
) -> Comparison:
    """How the same cases end on an older base and on a newer one, worst first."""
    both = [name for name in cases if name in old and name in new]
    found = [one for name in both if (one := _moved(name, cases[name], old[name], new[name])) is not None]
    rank = {"worse": 0, "moved": 1, "better": 2}
    found.sort(key=lambda one: (rank[one.way], -one.weight, one.case))
    return Comparison(tuple(found), len(both), tuple(name for name in both if name in gone))


def _moved(name: str, case: Case, old: Ran, new: Ran) -> Moved | None:
    lines: list[str] = []
    fails = bool(new.failings) and not old.failings
    harm = FAILS * (bool(new.failings) - bool(old.failings))
    lines += [f"wrong now: {one}" for one in new.failings if one not in old.failings]
    lines += [f"right now, was wrong: {one}" for one in old.failings if one not in new.failings]
    for way, before, now in (("told at once", old.told, new.told), ("played", old.played, new.played)):
        if before is not None and now is not None:
            added, said = _ending(case, before, now)
            harm += added
            lines += [f"{way}: {one}" for one in said]
    if not lines:
        return None
    fails = fails or (harm >= CLEARED and not old.failings)
    return Moved(name, "worse" if harm >= 1 else "better" if harm <= -1 else "moved", abs(harm), tuple(lines), fails)


def _ending(case: Case, before: Ending, now: Ending) -> tuple[float, list[str]]:
    """How much worse a case ends, and how it ends otherwise."""
    harm, lines = 0.0, []
    right = case.faults or before.faults[:1]
    for fault in right:
        if fault in now.excluded and fault not in before.excluded:
            harm += CLEARED
            lines.append(f"rules out {fault}, by {' and '.join(now.excluded[fault])}")
        if fault in before.excluded and fault not in now.excluded:
            harm -= CLEARED
            lines.append(f"no longer rules out {fault}")
    if before.verdict != now.verdict:
        harm += TURNED * ((before.verdict == case.verdict) - (now.verdict == case.verdict))
        lines.append(f"ends {now.verdict}, was {before.verdict}")
    if before.faults[:1] != now.faults[:1]:
        was_right, is_right = before.faults[:1] and before.faults[0] in right, now.faults[:1] and now.faults[0] in right
        harm += TURNED * (bool(was_right) - bool(is_right))
        lines.append(f"names {_first(now)} first, was {_first(before)}")
    one, two = (sum(ending.odds.get(fault, 0.0) for fault in right) for ending in (before, now))
    if abs(one - two) >= SAME:
        harm += 10 * (_log_odds(one) - _log_odds(two))
        lines.append(f"{' or '.join(right)} at {two:.0%}, was {one:.0%}")
    lines += _asked(before, now)
    return harm + 2.0 * (len(now.asked) - len(before.asked)), lines


def _log_odds(share: float) -> float:
    kept = min(max(share, FLOOR), 1 - FLOOR)
    return math.log(kept / (1 - kept))


def _first(ending: Ending) -> str:
    return ending.faults[0] if ending.faults else "nothing"


def _asked(before: Ending, now: Ending) -> list[str]:
    """Where the questions part, and how many there are."""
    if before.asked == now.asked:
        return []
    at = next(
        (number for number, (one, two) in enumerate(zip(before.asked, now.asked, strict=False)) if one != two),
        min(len(before.asked), len(now.asked)),
    )
    was = before.asked[at] if at < len(before.asked) else "to stop there"
    asks = now.asked[at] if at < len(now.asked) else "nothing more"
    counts = f"; {len(now.asked)} questions, were {len(before.asked)}" if len(before.asked) != len(now.asked) else ""
    return [f"question {at + 1} is {asks}, was {was}{counts}"]
