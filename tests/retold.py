"""Stories and limits from outside told to the shipped base: answers in, and what the program makes of them.

A story is a line of `question=answer`, in any order; an answer is an outcome or a reading with its unit.
"""

from __future__ import annotations

from dataclasses import dataclass

from engine import Session
from engine.schema import Case
from tests.playing import told
from tests.shipped import shipped_base


@dataclass(frozen=True)
class Told:
    """A session in which a whole story has been told."""

    session: Session

    @property
    def kind(self) -> str:
        """How it ends: proved, likely, open, normal, elsewhere, unknown, clash or stopped."""
        return self.session.verdict.kind

    @property
    def first(self) -> str:
        """The likeliest fault."""
        return self.session.belief.ranking()[0][0]

    @property
    def out(self) -> frozenset[str]:
        """Faults that sound rules exclude."""
        return frozenset(self.session.reasoning.exclusions)

    @property
    def advice(self) -> frozenset[str]:
        """Root causes and cautions brought up."""
        return frozenset((*self.session.verdict.causes, *self.session.verdict.cautions))

    def share(self, *faults: str) -> float:
        """The odds of these faults together, as a share; a fault that this lamp cannot have counts for nothing."""
        odds = dict(self.session.belief.ranking())
        return sum(odds.get(fault, 0.0) for fault in faults)

    def section(self, *sections: str) -> float:
        """The odds of all single faults in these stretches of the chain."""
        base = self.session.base
        nodes = {fault: base.faults[fault].node for fault, _ in self.session.belief.ranking()}
        return self.share(*(fault for fault, node in nodes.items() if node and base.nodes[node].section in sections))


def tell(*story: str) -> Told:
    """The story told, circumstances first; raises Unplayable when an answer is not taken."""
    pairs = (part.split("=", 1) for line in story for part in line.split())
    answers = {question: answer for question, answer in pairs}
    case = Case(story="told", source=("invented",), answers=answers, verdict="open", faults=(), never=(), most=None)
    return Told(told(shipped_base(), case))


def heard(story: str, answer: str) -> tuple[Told, Told]:
    """The story without and with one answer more."""
    return tell(story), tell(story, answer)
