"""The table of faults and questions of one technology as a heat map in which missing knowledge shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from engine import svg
from engine.base import Base
from engine.entries import plain, stretch
from engine.expectations import Array, expectations, usual
from engine.grounding import ground
from engine.reasoning import unopposed
from engine.wording import in_words

CELL, SIZE = 13.0, 10.0
ROW_ROOM, HEAD_ROOM, SIDE_ROOM, MARGIN = 232.0, 190.0, 40.0, 10.0
STEPS = ((0.7, 0.85), (0.4, 0.6), (0.15, 0.38), (0.0, 0.17))  # from this distance on, so dark
THIN = 0.15  # a distance from which an answer is a real sign
FEW = 3  # a fault with fewer real signs is marked as thin


@dataclass(frozen=True)
class Table:
    """How far P(outcome | fault) is from usual: half the sum of the differences, 0 to 1; nan where no rule speaks.

    Rows are faults, by stretch of the chain; columns are questions, by chapter.
    """

    faults: tuple[str, ...]
    questions: tuple[str, ...]
    stretches: tuple[str, ...]
    chapters: tuple[str, ...]
    far: Array

    def signs(self, row: int) -> int:
        """How many questions tell of a fault."""
        return int(np.nansum(self.far[row] >= THIN))


def table(base: Base, technology: str, chapters: Mapping[str, str]) -> Table:
    """The table of a technology, with no circumstance known; `chapters` names that of each question."""
    circuit = ground(base, technology)
    known = expectations(circuit)
    told = {base.roles.technology: technology}
    chain = {node: number for number, node in enumerate(base.technologies[technology].chain)}
    last = len(chain)
    faults = sorted(circuit.faults, key=lambda one: chain.get(base.faults[one].node or "", last))
    columns = [known.columns[fault] for fault in faults]
    order = list(dict.fromkeys(chapters.values()))
    suited = [name for name in known.speaking if unopposed(base.questions[name].suits, told)]
    questions = sorted(suited, key=lambda one: (order.index(chapters[one]), base.order[one]))
    far = []
    for name in questions:
        differences = np.abs(known.table(name, told)[:, columns] - usual(base, name)[:, None]).sum(axis=0) / 2
        far.append(np.where(differences > 1e-9, differences, np.nan))
    return Table(
        tuple(faults),
        tuple(questions),
        tuple(stretch(base, fault) for fault in faults),
        tuple(chapters[name] for name in questions),
        np.array(far).T,
    )


def draw(base: Base, technology: str, found: Table) -> str:
    """The heat map as SVG, each cell with its words for whoever points at it."""
    width = MARGIN + ROW_ROOM + len(found.questions) * CELL + SIDE_ROOM + MARGIN
    top = 64.0 + HEAD_ROOM
    height = top + len(found.faults) * CELL + MARGIN
    title = f"What is known of each fault: {base.technologies[technology].name}"
    says = (
        f"A table of {len(found.faults)} faults and {len(found.questions)} questions. The darker a cell, the further "
        "the answers under the fault are from the usual ones. An empty cell: no rule speaks of the two."
    )
    body = "".join((_legend(title), *_heads(base, found, top), *_rows(base, found, top)))
    ground_ = f"<rect{svg.attributes({'width': width, 'height': height, 'fill': 'white'})}/>"
    return svg.frame("table", width, height, title, says, f'{ground_}<g fill="#111">{body}</g>')


def _legend(title: str) -> str:
    rows = [svg.text(MARGIN, 20.0, title, 15.0, font_weight="bold")]
    at = MARGIN
    words = ("tells nearly all", "a strong sign", "a sign", "hardly a sign")
    for (_, tone), said in zip(STEPS, words, strict=True):
        rows.append(_square(at, 34.0, tone))
        rows.append(svg.text(at + CELL + 4, 44.0, said, SIZE + 1))
        at += CELL + 14 + svg.width_of(said, SIZE + 1)
    rows.append(_square(at, 34.0, None))
    said = "nothing known: no rule speaks of it"
    rows.append(svg.text(at + CELL + 4, 44.0, said, SIZE + 1))
    at += CELL + 14 + svg.width_of(said, SIZE + 1)
    told = (
        f"Right: how many questions are a sign; ! fewer than {FEW}. Below a question: of how many faults it is a sign."
    )
    rows.append(svg.text(at, 44.0, told, SIZE + 1))
    return "".join(rows)


def _square(x: float, y: float, tone: float | None, said: str = "") -> str:
    inside = {"x": x, "y": y, "width": CELL - 1, "height": CELL - 1}
    hint = f"<title>{svg.words(said)}</title>" if said else ""
    if tone is None:
        empty = {**inside, "fill": "#fff", "stroke": "#ddd", "stroke-width": "0.6"}
        return f"<rect{svg.attributes(empty)}>{hint}</rect>"
    return f'<rect{svg.attributes({**inside, "fill": "#123a6b"})} fill-opacity="{tone}">{hint}</rect>'


def _heads(base: Base, found: Table, top: float) -> Iterator[str]:
    left = MARGIN + ROW_ROOM
    for number, name in enumerate(found.questions):
        x, y = left + number * CELL + CELL * 0.75, top - 20
        said = svg.lines(plain(base, base.questions[name].title), HEAD_ROOM - 42, SIZE, 1)[0]
        yield svg.text(x, y, said, SIZE, transform=f"rotate(-90 {x:.1f} {y:.1f})")
        signs = int(np.nansum(found.far[:, number] >= THIN))
        yield svg.text(x - CELL / 2 + 6, top - 6, str(signs), 8.0, text_anchor="middle", opacity=0.7)
    yield from _marks(found.chapters, left, top, len(found.faults) * CELL, upright=True)
    for number, name in enumerate(found.chapters):
        if name not in found.chapters[:number] and found.chapters.count(name) * CELL > svg.width_of(name, SIZE):
            x = left + number * CELL + 2
            yield svg.text(x, top - HEAD_ROOM + 8, in_words(name), SIZE, font_weight="bold", opacity=0.75)


def _rows(base: Base, found: Table, top: float) -> Iterator[str]:
    left = MARGIN + ROW_ROOM
    for row, fault in enumerate(found.faults):
        y = top + row * CELL
        name = svg.lines(base.faults[fault].name, ROW_ROOM - 12, SIZE, 1)[0]
        yield svg.text(left - 6, y + CELL * 0.72, name, SIZE, text_anchor="end")
        for column, question in enumerate(found.questions):
            far = float(found.far[row, column])
            tone = None if np.isnan(far) else next(tone for least, tone in STEPS if far >= least)
            said = f"{base.faults[fault].name}, {plain(base, base.questions[question].title)}: {far:.0%} from usual"
            yield _square(left + column * CELL, y, tone, said if tone is not None else "")
        signs = found.signs(row)
        mark = f"{signs} !" if signs < FEW else str(signs)
        bold = "bold" if signs < FEW else None
        yield svg.text(left + len(found.questions) * CELL + 6, y + CELL * 0.72, mark, SIZE, font_weight=bold)
    yield from _marks(found.stretches, left, top, len(found.questions) * CELL, upright=False)


def _marks(groups: Sequence[str], left: float, top: float, length: float, upright: bool) -> Iterator[str]:
    """A line wherever a chapter or a stretch of the chain ends."""
    for number in range(1, len(groups)):
        if groups[number] != groups[number - 1]:
            at = number * CELL - 0.5
            way = (
                f"M{left + at:.1f} {top - HEAD_ROOM + 10:.1f}v{length + HEAD_ROOM - 10:.1f}"
                if upright
                else f"M{left - ROW_ROOM + 10:.1f} {top + at:.1f}h{length + ROW_ROOM - 10:.1f}"
            )
            yield svg.path(way, stroke="#777", stroke_width="0.7")
