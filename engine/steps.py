"""What a person answers, and what they can be asked or told to do next: plain values, computed elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

Stage: TypeAlias = Literal["open", "do", "prove", "refit", "aim"]


@dataclass(frozen=True)
class Answer:
    """What a person said to a question.

    `outcome` is None for `cannot tell`. `reading` is the number of a reading, in the program's own units, and
    `working` how it was sorted into the outcome. `hidden` says whether the fault was out of sight at the time;
    None means as the session says.
    """

    outcome: str | None
    said: str = ""
    reading: float | None = None
    working: tuple[str, ...] = ()
    hidden: bool | None = None
    confirmed: bool = False


# while the fault is looked for


@dataclass(frozen=True)
class Ask:
    """The next step: ask this; `again` when it was answered and the answer is the likeliest slip of a clash."""

    question: str
    again: bool = False


@dataclass(frozen=True)
class Fill:
    """The next step: fill in this form, of which these items are open."""

    form: str
    items: tuple[str, ...]


@dataclass(frozen=True)
class Warn:
    """The next step: have these serious cautions acknowledged before this question."""

    cautions: tuple[str, ...]
    question: str


@dataclass(frozen=True)
class End:
    """The next step: none. The verdict stands, and a repair may be begun."""


@dataclass(frozen=True)
class WhichVehicle:
    """The next step: say which of the remembered vehicles this is, if any."""

    names: tuple[str, ...]


# while a repair is in hand


@dataclass(frozen=True)
class Task:
    """One thing to do: reach a state of access, a step of a repair, a line of its proof, or to put something back.

    `of` is the state or the repair it belongs to; `minutes` are those of a state of access; `cautions` and `tools` come
    with it.
    """

    stage: Stage
    of: str
    text: str
    minutes: float = 0
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()


@dataclass(frozen=True)
class Beware:
    """The next step: have these serious cautions acknowledged before the repair, or before this task of it."""

    cautions: tuple[str, ...]
    repairs: tuple[str, ...]
    task: Task | None = None


@dataclass(frozen=True)
class Work:
    """The next step: do this, the one of `number` among `total` of its kind."""

    task: Task
    number: int
    total: int


@dataclass(frozen=True)
class HowOpened:
    """The next step: say how this state of access, which is open now, is reached on this vehicle; may be left out."""

    state: str


@dataclass(frozen=True)
class NameVehicle:
    """The next step: give the vehicle a name under which what was told of it is remembered; may be left out."""


@dataclass(frozen=True)
class Remeasure:
    """The next step: ask this again, because its answer spoke for the fault that has been mended."""

    question: str


@dataclass(frozen=True)
class HowIsIt:
    """The next step: say whether the lamp works now, is unchanged, or behaves in another way."""


@dataclass(frozen=True)
class Inspect:
    """The next step: look for these root causes, and say which were found and which are mended."""

    causes: tuple[str, ...]


@dataclass(frozen=True)
class SetAim:
    """The next step: set the aim; first say the rule, height and distance, then read the wall."""

    framed: bool


@dataclass(frozen=True)
class Cured:
    """The next step: none. The lamp works; `causes` are those still open, `closed` says that the job is closed."""

    causes: tuple[str, ...]
    closed: bool = False


Step: TypeAlias = (
    Ask
    | Fill
    | Warn
    | End
    | WhichVehicle
    | Beware
    | Work
    | HowOpened
    | NameVehicle
    | Remeasure
    | HowIsIt
    | Inspect
    | SetAim
    | Cured
)
