"""An invented car with two faults, a drowned ballast and a dead arc tube, and the lines its owner would type."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

from engine.base import Base
from engine.events import apply
from engine.mending import Mending
from engine.session import Ask, End, Fill, Session, Warn
from engine.steps import Beware, HowIsIt, HowOpened, Inspect, NameVehicle, Remeasure, SetAim, Step, Work
from shell.commands import understand
from shell.meanings import Do

WET = {
    "light-source": "discharge-outside", "complaint": "dead", "side": "left", "beam": "low", "beams-from": "same",
    "showing-now": "yes", "light.same-other": "works", "light.opposite-this": "dead", "light.opposite-other": "works",
    "light.position-this": "works", "light.turn-this": "works", "fuse-arrangement": "own", "switched-by": "relay",
    "tube-family": "mercury-free", "ballast-place": "low", "have-meter": "yes", "have-clamp": "no",
    "have-test-bulb": "yes", "have-scan-tool": "no", "recent-work": "wash-or-rain", "fitted-already": "nothing",
    "swapped-before": "not-done", "replug-cured": "no", "tube-age": "middling", "when-wet": "yes",
    "battery-rest": "12.6 V", "battery-running": "14.2 V", "fuse-look-and-test": "sound", "plug-look": "clean",
    "pin-grip": "firm", "reseat-plug": "same", "lamp-volts-open": "12.5 V", "substitute-load": "bright",
    "earth-look": "clean", "wiggle-test": "none", "codes": "none", "tide-mark": "yes", "marking-check": "right",
    "housing-water": "mist", "caps-look": "unsealed", "seat-look": "home", "strike-parts-look": "clean",
    "tube-look": "cloudy", "ballast-look": "wet", "hiss-or-crackle": "no", "strike-sound": "silent",
}  # fmt: skip
MENDED = {"strike-sound": "buzz-then-nothing", "draws-current": "pulse", "ballast-look": "dry", "swap-sources": "moved"}
WALL = ("un-r48 65 cm 10 m", "58 cm", "53 cm", "done")
MOST = 200


def job(base: Base) -> Iterator[tuple[str, Session]]:
    """Each line typed from the first prompt until the job is closed, with the session after it."""
    session, taken, wall = Session(base), 0, 0
    for _ in range(MOST):
        step, state = session.step, session.mending
        line = _search(session, step)
        if isinstance(step, Work) and step.task.stage == "open" and taken < 2:
            line = ("took 4 torx screws, lid of the tin", "took 1 seal, on the wing")[taken]
            taken += 1
        elif isinstance(step, SetAim):
            line, wall = WALL[wall], wall + 1
        elif line is None:
            line = _mend(step, state)
        meaning = understand(session, step, line)
        if not isinstance(meaning, Do):
            raise AssertionError(f"{line!r} at {step}: {meaning}")
        session = reduce(apply, meaning.events, session)
        yield line, session
        if session.mending.closed:
            return
    raise AssertionError(f"no end after {MOST} lines")


def _search(session: Session, step: Step) -> str | None:
    """What is said to a question: the truth about this car, which is another once the ballast is dry."""
    truth = {**WET, **(MENDED if session.mending.tried else {})}
    match step:
        case Ask(question=question) | Remeasure(question=question):
            return truth.get(question, "unsure")
        case Fill(items=items):
            return ", ".join(f"{number} {truth[item]}" for number, item in enumerate(items, 1) if item in truth)
        case Warn() | Beware():
            return "understood"
        case End():
            return "mend"
    return None


def _mend(step: Step, state: Mending) -> str:
    match step:
        case Work():
            return "done"
        case HowOpened():
            return "two bolts on top, slide it forward, 25 min, 6 torx screws"
        case NameVehicle():
            return "van-12"
        case HowIsIt():
            return "works" if state.tried else "unchanged"
        case Inspect(causes=(cause,)):
            return "mended" if state.seen.get(cause) == "found" else "not"
        case Inspect():
            return "1 found"
    return "close"
