"""What a typed line can mean: something done, something to look at, leaving, or a refusal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from engine.events import Event
from shell.names import Refusal

What = Literal["why", "trace", "doubt", "suppose", "standing", "spend", "buy", "taken", "help"]


@dataclass(frozen=True)
class Do:
    """What the person did, as events; `ask_back` is to be said once before it is taken."""

    events: tuple[Event, ...]
    ask_back: str = ""


@dataclass(frozen=True)
class Look:
    """What the person wants to see: of which fault, question or word, or after which answers."""

    what: What
    subject: str = ""
    events: tuple[Event, ...] = ()


@dataclass(frozen=True)
class Park:
    """The person leaves; nothing is lost."""


Meaning: TypeAlias = Do | Look | Park | Refusal
