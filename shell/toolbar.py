"""The line at the bottom of the terminal, made of what is known already: it is drawn again at each key."""

from __future__ import annotations

from dataclasses import dataclass

from engine.session import Session
from engine.wording import fault_name
from shell.words import percent

KEYS = "F1 help  F2 why"


@dataclass(frozen=True)
class State:
    """What the toolbar shows: how many answers, and the leading suspect with its share."""

    answers: int
    suspect: str = ""
    share: float = 0.0


def state_of(session: Session) -> State:
    """The toolbar's state for a session; computes the odds, so it is taken once a prompt."""
    if not session.circuit.faults or session.complaint is None:
        return State(len(session.answers))
    fault, share = session.belief.ranking()[0]
    return State(len(session.answers), fault_name(session.base, fault), share)


def toolbar(state: State, width: int) -> str:
    """The text; it leaves the last column free, where some terminals wrap."""
    count = f"{state.answers} answer{'' if state.answers == 1 else 's'}"
    lead = f"{state.suspect} {percent(state.share)}" if state.suspect else ""
    room = width - len(count) - len(KEYS) - 8
    if len(lead) > room:
        figure = f"~ {percent(state.share)}"
        lead = f"{state.suspect[: max(room - len(figure), 0)]}{figure}" if room > len(figure) + 3 else ""
    parts = [part for part in (count, lead, KEYS) if part]
    return f" {' | '.join(parts)}"[: width - 1]
