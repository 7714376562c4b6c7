"""Old jobs played again: the session that events lead to, and what a newer knowledge base makes of them differently."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache, reduce

from pydantic import BaseModel, TypeAdapter

from engine.base import Base
from engine.events import Event, apply, known
from engine.session import Session
from engine.verdict import Certainty, Kind
from engine.wording import fault_name, in_words

SAME_SHARE = 0.02  # a smaller move of the odds is not worth a word
CONCLUDING = (  # the sections that can change what is asked or concluded
    *("roles", "questions", "forms", "nodes", "faults", "technologies", "rules"),
    *("repairs", "cautions", "causes", "access", "tools", "settings"),
)


@dataclass(frozen=True)
class Summary:
    """What the rules made of a job's answers: the verdict, and what was plain logic.

    `names` are those of `faults`, so that they can be told without the base, or when it no longer knows them.
    """

    verdict: Kind
    certainty: Certainty
    faults: tuple[str, ...]
    names: tuple[str, ...]
    share: float
    excluded: tuple[str, ...]
    concluded: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Change:
    """How a job reads under another base than the one it was worked under.

    `lost` are the numbers (from one) of the events that no longer fit; `before` and `now` differ in their verdict
    or not, see `verdict_moved`; the last four are faults excluded and facts concluded only now, or no longer.
    """

    lost: tuple[int, ...]
    before: Summary
    now: Summary

    @property
    def verdict_moved(self) -> bool:
        """Whether verdict, faults or odds are different enough to be said."""
        one, two = self.before, self.now
        same = (one.verdict, one.certainty, set(one.faults)) == (two.verdict, two.certainty, set(two.faults))
        return not same or abs(one.share - two.share) > SAME_SHARE

    @property
    def newly_excluded(self) -> tuple[str, ...]:
        """Faults that only the newer rules exclude."""
        return tuple(fault for fault in self.now.excluded if fault not in self.before.excluded)

    @property
    def no_longer_excluded(self) -> tuple[str, ...]:
        """Faults that the newer rules no longer exclude."""
        return tuple(fault for fault in self.before.excluded if fault not in self.now.excluded)

    @property
    def newly_concluded(self) -> tuple[tuple[str, str], ...]:
        """Facts that only the newer rules conclude."""
        return tuple(fact for fact in self.now.concluded if fact not in self.before.concluded)

    @property
    def no_longer_concluded(self) -> tuple[tuple[str, str], ...]:
        """Facts that the newer rules no longer conclude."""
        return tuple(fact for fact in self.before.concluded if fact not in self.now.concluded)

    def __bool__(self) -> bool:
        return bool(
            self.lost
            or self.verdict_moved
            or self.newly_excluded
            or self.no_longer_excluded
            or self.newly_concluded
            or self.no_longer_concluded
        )


def replay(base: Base, events: Iterable[Event | None]) -> Session:
    """The session that events lead to. Those that no longer fit (None: not even readable) are passed over."""
    return reduce(apply, (event for event in events if event is not None), Session(base))


def changes(base: Base, events: Sequence[Event | None], before: Summary) -> Change:
    """How events worked under another base, which came to `before`, read under this one."""
    empty = Session(base)
    lost = tuple(number for number, event in enumerate(events, 1) if event is None or not known(empty, event))
    return Change(lost, before, summary(replay(base, events)))


def summary(session: Session) -> Summary:
    """What the rules make of a session's answers."""
    verdict, reasoning = session.verdict, session.reasoning
    concluded = sorted(reasoning.facts - frozenset(reasoning.findings.items()))
    return Summary(
        verdict.kind,
        verdict.certainty,
        verdict.faults,
        tuple(fault_name(session.base, fault) for fault in verdict.faults),
        verdict.share,
        tuple(sorted(reasoning.exclusions)),
        tuple(concluded),
    )


def headline(session: Session) -> str:
    """A few words that tell a job from others: complaint, which lamp and what kind of lamp, as far as known."""
    base, found = session.base, []
    if session.complaint is not None:
        found.append(base.questions[base.roles.complaint].outcomes[session.complaint].say.rstrip("."))
    # outcomes that carry labels say which lamp it is
    which = [value for name, value in session.circumstances.items() if base.questions[name].outcomes[value].labels]
    if which:
        found.append(in_words(" ".join(which)))
    if session.technology is not None:
        found.append(base.technologies[session.technology].name)
    return "; ".join(found)


@lru_cache(maxsize=8)
def fingerprint(base: Base) -> str:
    """A short digest of all that can change what is asked or concluded; equal for equal knowledge."""
    digest = hashlib.sha256()
    for section in CONCLUDING:
        entries = getattr(base, section)
        for name, entry in entries.items() if not isinstance(entries, BaseModel) else [("", entries)]:
            digest.update(f"{section} {name} {entry.model_dump_json()}\n".encode())
    return digest.hexdigest()[:16]


@cache
def _adapter() -> TypeAdapter[Summary]:
    return TypeAdapter(Summary)


def dump_summary(one: Summary) -> str:
    """A summary as one line of JSON."""
    return _adapter().dump_json(one).decode()


def read_summary(text: str) -> Summary:
    """The summary a line of JSON holds. Raises ValueError when it holds none."""
    return _adapter().validate_json(text)
