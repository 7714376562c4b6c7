"""The checks, one line each, in the order in which they run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from engine.audit import (
    bands,
    cases,
    cautions,
    contradictions,
    counted_twice,
    drafts,
    figures,
    frequencies,
    idle_questions,
    idle_rules,
    impossible_faults,
    impossible_outcomes,
    loops,
    never_asked,
    never_fires,
    off_chain,
    out_of_reach,
    placeholders,
    plain_words,
    prices,
    reading,
    repeats,
    selects_nothing,
    sentences,
    shares,
    twins,
    unused,
    unused_conclusions,
)
from engine.audit.survey import Survey
from engine.problems import Problem


class Check(Protocol):
    """A module that checks one thing; its docstring is the manual page of its code."""

    __doc__: str | None
    CODE: str
    RAW: bool  # whether it can look at entries of a base that does not load

    def check(self, survey: Survey) -> Iterator[Problem]:
        """The problems it finds."""
        ...


CHECKS: tuple[Check, ...] = (
    figures,
    bands,
    reading,
    shares,
    prices,
    off_chain,
    frequencies,
    loops,
    never_fires,
    never_asked,
    selects_nothing,
    idle_rules,
    repeats,
    contradictions,
    counted_twice,
    unused_conclusions,
    impossible_faults,
    impossible_outcomes,
    idle_questions,
    twins,
    out_of_reach,
    unused,
    cautions,
    cases,
    placeholders,
    sentences,
    plain_words,
    drafts,
)
BY_CODE = {one.CODE: one for one in CHECKS}
