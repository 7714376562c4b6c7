"""What the invented mechanic of the demo types at each step of a sitting."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from engine.session import Ask, End, Fill, Session, Step, Warn
from engine.steps import Beware, Cured, HowIsIt, HowOpened, Inspect, NameVehicle, Remeasure, SetAim, Work
from shell.demo_script import Sitting


@dataclass
class Typist:
    """Gives the lines of one sitting; `answers` are those of this sitting and of all before it."""

    sitting: Sitting
    answers: Mapping[str, str]
    waiting: list[str] = field(init=False)
    wall: list[str] = field(init=False)
    at: dict[str, tuple[str, ...]] = field(init=False)
    searched: bool = field(default=False, init=False)

    def __post_init__(self) -> None:
        self.waiting = list(self.sitting.first)
        self.wall = list(self.sitting.aim)
        self.at = dict(self.sitting.at)

    def line(self, session: Session) -> str | None:
        """The next line, or None when the sitting is over: a verdict has been reached, or the job is closed."""
        step = session.step
        if isinstance(step, Work) and step.task.stage in ("open", "do"):
            self.waiting += self.at.pop(step.task.of, ())
        if self.waiting:
            return self.waiting.pop(0)
        self.searched = self.searched or isinstance(step, Ask | Fill)
        match step:
            case End():
                return None if self.searched else "mend"
            case Cured(closed=closed):
                return None if closed else "close"
        return self._answer(step)

    def _answer(self, step: Step) -> str:
        match step:
            case Ask(question=question):
                return self.answers.get(question, "unsure")
            case Fill(items=items):
                known = [(number, self.answers[item]) for number, item in enumerate(items, 1) if item in self.answers]
                return ", ".join(f"{number} {answer}" for number, answer in known)
            case Warn() | Beware():
                return "understood"
            case Remeasure(question=question):
                return self.sitting.again.get(question, "unsure")
            case HowOpened(state=state):
                return self.sitting.opened.get(state, "")
            case NameVehicle():
                return self.sitting.vehicle
            case HowIsIt():
                return self.sitting.result
            case Inspect(causes=causes):
                cause = causes[0]
                return f"cause {cause} {self.sitting.causes.get(cause, 'not')}"
            case SetAim():
                return self.wall.pop(0) if self.wall else "later"
        return "done"
