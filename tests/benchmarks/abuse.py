"""What it stands: spoilt files, random lines, bombs, and a rule base from a stranger.

`python -m tests.benchmarks.abuse [--quick] [--json] [--seed N]`: 10,000 mutated knowledge files, each read and checked
(the small base of the tests also played), and 100,000 random lines at every kind of prompt of a job on the shipped
base, repair and aim included. Anything but a sentence for the person counts as a traceback; what takes over `PATIENCE`
seconds as a hang. Bombs and the stranger's base run as the program itself, in a process that may hold `MEMORY` MB. The
stranger's base must run no code, read and write nothing outside its folder, put nothing active on screen or page.
"""

from __future__ import annotations

import contextlib
import html.parser
import os
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from functools import partial, reduce
from pathlib import Path

from engine.audit.inspection import inspect
from engine.base import Base
from engine.events import Event, apply
from engine.loading import Reader, finish
from engine.problems import Trouble
from engine.session import Session
from engine.yamltree import read_text
from shell.commands import COMMANDS, understand
from shell.dialogue import shown
from shell.meanings import Do, Look
from shell.render_noted import noted
from shell.render_step import step_rows
from tests.benchmarks import spoiling
from tests.benchmarks.running import FOLDER, Figures, Options, each, run, shipped
from tests.small import TEXT

FILES, QUICK_FILES = 10_000, 500
TYPED, QUICK_TYPED = 100_000, 3_000
BATCH = 250
PATIENCE = 20
MEMORY = 1_000
WALKS, QUICK_WALKS, STEPS = 12, 2, 60
SHOWN = 0.02  # of the lines that are understood, how many are carried out and shown
FORWARD = (
    "1",
    "2",
    "3",
    "",
    "understood",
    "mend",
    "done",
    "works",
    "unchanged",
    "not",
    "later",
    "close",
    "unsure",
    "no",
)


class Hang(Exception):
    """What was tried took longer than anybody would wait."""


@contextlib.contextmanager
def patience(seconds: int = PATIENCE) -> Iterator[None]:
    """Raises Hang in what takes longer."""

    def ring(number: int, frame: object) -> None:
        raise Hang

    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def attempt(work: Callable[[], object]) -> str:
    """What came of something: well, refused, hang, or the name of what was raised."""
    try:
        with patience():
            work()
    except Trouble:
        return "refused"
    except Hang:
        return "hang"
    except Exception as error:
        return f"traceback: {type(error).__name__}: {str(error)[:200]}"
    return "well"


def tally(results: list[str]) -> dict[str, object]:
    """How often each came, and the first tracebacks in words."""
    broken = sorted({one for one in results if one.startswith("traceback")})
    return {
        "tried": len(results),
        "taken": results.count("well"),
        "refused": results.count("refused"),
        "tracebacks": sum(one.startswith("traceback") for one in results),
        "hangs": results.count("hang"),
        **({"first_tracebacks": broken[:5]} if broken else {}),
    }


# files


def files(count: int, seed: int) -> Figures:
    """Mutated files."""
    known = [path.read_text(encoding="utf-8") for path in sorted(FOLDER.rglob("*.yaml"))]
    batches = [(seed, number, min(BATCH, count - number)) for number in range(0, count, BATCH)]
    return tally([result for batch in each(partial(_spoil, known), batches) for result in batch])


def _spoil(known: list[str], batch: tuple[int, int, int]) -> list[str]:
    seed, first, count = batch
    return [attempt(partial(_read, known, random.Random(f"{seed} {first + number}"))) for number in range(count)]


def _read(known: list[str], rng: random.Random) -> None:
    whole = rng.random() < 0.5
    text = spoiling.mutated(rng, TEXT if whole else rng.choice(known), known)
    reader = Reader()
    reader.add(read_text(text, "spoilt.yaml"))
    if whole:
        inspect(reader, {"spoilt.yaml": text})
        session = Session(finish(reader))
        for _ in range(4):
            session = reduce(apply, _events(session, rng), session)
    elif reader.problems:
        raise Trouble("\n".join(map(str, reader.problems)))


# lines


def lines(count: int, walks: int, seed: int) -> Figures:
    """Random lines at every kind of prompt."""
    base = shipped()
    said = each(partial(_answers, base), [(seed, walk) for walk in range(walks)])  # events come back, sessions cannot
    prompts = [session for walk in said for session in _prompts(base, walk)]
    words = [*COMMANDS, *base.faults, *base.questions, *base.repairs, *base.terms, *base.causes]
    batches = [(seed, number, min(BATCH, count - number)) for number in range(0, count, BATCH)]
    results = [result for batch in each(partial(_type, prompts, words), batches) for result in batch]
    kinds = sorted({type(session.step).__name__ for session in prompts})
    return {**tally(results), "kinds_of_prompt": kinds, "prompts": len(prompts)}


def _type(prompts: list[Session], words: list[str], batch: tuple[int, int, int]) -> list[str]:
    seed, first, count = batch
    results = []
    for number in range(count):
        rng = random.Random(f"{seed} {first + number}")
        results.append(attempt(partial(_say, rng.choice(prompts), spoiling.line(rng, words), rng)))
    return results


def _say(session: Session, line: str, rng: random.Random) -> None:
    meaning = understand(session, session.step, line)
    if rng.random() >= SHOWN:
        return
    width = rng.choice((20, 40, 80, 200))
    if isinstance(meaning, Do):
        after = reduce(apply, meaning.events, session)
        noted(session, after, meaning.events, width)
        step_rows(after.step, after, width)
    elif isinstance(meaning, Look):
        shown(session, meaning, width)


def _events(session: Session, rng: random.Random) -> Sequence[Event]:
    """What the first of some lines does that does something; nothing where none does."""
    for line in rng.sample(FORWARD, len(FORWARD)):
        meaning = understand(session, session.step, line)
        if isinstance(meaning, Do) and meaning.events:
            return meaning.events
    return ()


def _answers(base: Base, walk: tuple[int, int]) -> list[Sequence[Event]]:
    """A walk through a job: what was said at each step, sensible or not, as events."""
    rng = random.Random(f"walk {walk}")
    session, said = Session(base), list[Sequence[Event]]()
    for _ in range(STEPS):
        events = _events(session, rng)
        session = reduce(apply, events, session)
        said.append(events)
    return said


def _prompts(base: Base, walk: list[Sequence[Event]]) -> list[Session]:
    """The sessions of a walk, one of each kind of prompt: of each question, and of each step of a repair."""
    found: dict[object, Session] = {}
    session = Session(base)
    for events in walk:
        step = session.step
        found.setdefault((type(step), getattr(step, "question", getattr(step, "task", ""))), session)
        session = reduce(apply, events, session)
    return list(found.values())


# bombs and strangers, as the program meets them


def bombs() -> Figures:
    """Each bomb as a layer over the shipped base: the program says what is wrong, within bounds."""
    rows = []
    for name, text in spoiling.bombs().items():
        with tempfile.TemporaryDirectory() as folder:
            (Path(folder) / "bomb.yaml").write_text(text, encoding="utf-8")
            rows.append({"bomb": name, **_program(["--kb-add", folder, "diagnose"], folder)})
    return {
        "tried": len(rows),
        "tracebacks": sum(bool(row["traceback"]) for row in rows),
        "hangs": sum(bool(row["hang"]) for row in rows),
        "most_seconds": max(float(str(row["seconds"])) for row in rows),
        "most_mb": max(float(str(row["mb"])) for row in rows),
        "each": rows,
    }


def _limited() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY * 1024 * 1024, MEMORY * 1024 * 1024))


def _program(arguments: list[str], folder: str, typed: str = "") -> dict[str, object]:
    """The program in a process of its own, and what became of it."""
    environment = {**os.environ, "XDG_CACHE_HOME": f"{folder}/cache", "LAMPWRIGHT_DATA": f"{folder}/data"}
    environment |= {"OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": str(FOLDER.parent)}
    watched = [sys.executable, "-m", "tests.benchmarks.watched", folder, *arguments]
    began = time.monotonic()
    child = subprocess.Popen(
        watched,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment,
        cwd=FOLDER.parent,
        preexec_fn=_limited,
    )
    try:
        out, err = child.communicate(typed.encode(), timeout=3 * PATIENCE)
    except subprocess.TimeoutExpired:
        child.kill()
        child.communicate()
        return {"traceback": False, "hang": True, "seconds": 3.0 * PATIENCE, "mb": 0.0}
    said = err.decode(errors="replace")
    held = [float(line.split()[1]) for line in said.splitlines() if line.startswith("held-mb")]
    return {
        "traceback": "Traceback" in said or child.returncode not in (0, 1, 2),
        "hang": False,
        "seconds": round(time.monotonic() - began, 1),
        "mb": held[-1] if held else 0.0,
        "out": out.decode(errors="replace"),
        "err": said,
    }


def stranger() -> Figures:
    """A rule base from a stranger, played to the end, shown in every way, and written as a report."""
    with tempfile.TemporaryDirectory() as place:
        outside = Path(place) / "outside.yaml"
        outside.write_text(f"terms: {{{spoiling.SECRET}: {spoiling.SECRET}}}", encoding="utf-8")
        base = Path(place) / "base"
        base.mkdir()
        (base / "base.yaml").write_text(spoiling.hostile(TEXT), encoding="utf-8")
        common = ["--kb", str(base)]
        typed = "lamp\ndead\nyes\n\nwhy\ntrace\nstanding\nspend\nbuy\nhelp broken\ndoubt broken\nremark <b>\x1b[31m\n"
        runs = [
            _program([*common, "diagnose"], place, typed),
            _program([*common, "report", "1"], place),
            _program([*common, "report", "1", "--html", f"{place}/page.html"], place),
            _program([*common, "diagnose", "--json"], place, "lamp\ndead\nyes\n"),
            _program([*common, "kb", "check"], place),
            *(_program([*common, "kb", "show", name], place) for name in ("broken", "ohms", "new-bulb")),
        ]
        page = Path(place, "page.html")
        findings = _active(page.read_text(encoding="utf-8")) if page.exists() else ["no page"]
        (base / "link.yaml").symlink_to(outside)
        linked = _program([*common, "diagnose"], place)
        (base / "link.yaml").unlink()
        (base / "tagged.yaml").write_text("terms: !!python/object/apply:os.system ['touch pwned']", encoding="utf-8")
        tagged = _program([*common, "diagnose"], place)
    everything = [*runs, linked, tagged]
    words = "".join(str(one.get("out", "")) + str(one.get("err", "")) for one in everything)
    return {
        "tracebacks": sum(bool(one["traceback"]) for one in everything),
        "hangs": sum(bool(one["hang"]) for one in everything),
        "control_characters_on_screen": sum(
            (ord(char) < 32 and char not in "\n\t") or 127 <= ord(char) < 160 for char in words
        ),
        "direction_marks_on_screen": sum(char in "\u202a\u202b\u202c\u202d\u202e" for char in words),
        "shown_as_plain_words": "<script>" in words,
        "active_in_page": findings,
        "templates_run": str(1237 * 2011) in words,
        "read_outside": spoiling.SECRET in words,
        "against_the_rules": sorted({line for line in words.splitlines() if line.startswith("watched: ")}),
        "files_refused": [f"{'outside the folder' in str(linked.get('err'))}", f"{'tags' in str(tagged.get('err'))}"],
    }


def _active(page: str) -> list[str]:
    """What in a page could act or fetch, other than what the program's own template has."""
    found: list[str] = []

    class Looker(html.parser.HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            if tag in ("script", "iframe", "object", "embed", "img", "link", "base", "form"):
                found.append(tag)
            found.extend(name for name, _ in attrs if name.startswith("on"))
            found.extend(str(value) for name, value in attrs if name in ("href", "src") and ":" in str(value))

    Looker().feed(page)
    return sorted(set(found))


def measure(asked: Options) -> Figures:
    """What it stands."""
    return {
        "files": files(QUICK_FILES if asked.quick else FILES, asked.seed),
        "lines": lines(QUICK_TYPED if asked.quick else TYPED, QUICK_WALKS if asked.quick else WALKS, asked.seed),
        "bombs": {key: value for key, value in bombs().items() if key != "each"},
        "stranger": stranger(),
    }


if __name__ == "__main__":
    sys.exit(run("abuse", __doc__, measure))
