"""Where along the circuit the volts are lost, and how many ohm that is, from all readings taken so far together."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from engine.givens import computed
from engine.physics.feed import FEED_LIMIT, JOINT_LIMIT
from engine.physics.units import show
from engine.session import Session

OPEN = 8.0  # V: who loses so much is open, and no resistance can be told
AGREE = 0.2  # V: readings taken one after another, under the same load, agree better


@dataclass(frozen=True)
class Stretch:
    """Parts of the chain between two points measured: volts lost over them, and ohm (infinite: open)."""

    nodes: tuple[str, ...]
    lost: float
    ohms: float

    @property
    def too_much(self) -> bool:
        """Whether it loses more than parts of its number may."""
        return self.lost > (JOINT_LIMIT if len(self.nodes) == 1 else FEED_LIMIT)


@dataclass(frozen=True)
class Losses:
    """The loss before the lamp parted into stretches that do not overlap, in order of the chain.

    `whole` is the longest stretch measured; `cost` says what the loss does to the lamp; `agree` is False when parts
    lose more than the whole.
    """

    whole: Stretch
    stretches: tuple[Stretch, ...]
    cost: str
    agree: bool


def losses(session: Session) -> Losses | None:
    """What the readings so far tell together; None where none tells a loss."""
    spans = sorted(_spans(session), key=lambda span: len(span[0].nodes))
    if not spans:
        return None
    found: list[Stretch] = []
    agree = True
    for span, amps, _ in spans:
        inside = [one for one in found if set(one.nodes) <= set(span.nodes)]
        known = {node for one in inside for node in one.nodes}
        if any(set(one.nodes) & set(span.nodes) and one not in inside for one in found):
            continue
        rest = tuple(node for node in span.nodes if node not in known)
        left = span.lost - sum(one.lost for one in inside)
        agree = agree and left > -AGREE
        if rest:
            found.append(_stretch(rest, max(left, 0.0), amps))
    order = _chain(session)
    stretches = tuple(sorted(found, key=lambda one: order.index(one.nodes[0])))
    whole, _, cost = spans[-1]
    return Losses(whole, stretches, cost, agree)


def words(session: Session) -> tuple[str, ...]:
    """The losses in sentences: the whole, where it sits, and whether the readings agree."""
    found = losses(session)
    if found is None or not (found.whole.too_much or any(one.too_much for one in found.stretches)):
        return ()
    lines = [f"Lost {_over(session, found.whole)}: {_much(found.whole)}{f'; {found.cost}' if found.cost else ''}."]
    if len(found.stretches) > 1:
        most = max(found.stretches, key=lambda one: one.lost)
        others = [one for one in found.stretches if one is not most]
        rest = "; ".join(f"{_over(session, one)} {_much(one)}" for one in others)
        lines.append(f"Most of it {_over(session, most)}: {_much(most)}. Elsewhere: {rest}.")
    if not found.agree:
        lines.append("The parts lose more than the whole: take these readings again, one after another, lamp lit.")
    return tuple(lines)


def _spans(session: Session) -> Iterable[tuple[Stretch, float, str]]:
    chain = _chain(session)
    for name in session.answers:
        across = session.base.questions[name].across
        nodes = tuple(node for node in chain if node in across)
        found = computed(session, name) if nodes else None
        if found is not None and not math.isnan(found.lost):
            yield _stretch(nodes, found.lost, found.amps), found.amps, found.cost


def _stretch(nodes: tuple[str, ...], lost: float, amps: float) -> Stretch:
    if lost >= OPEN:
        return Stretch(nodes, lost, math.inf)
    return Stretch(nodes, lost, lost / amps if amps > 0 else 0.0)


def _chain(session: Session) -> tuple[str, ...]:
    technology = session.base.technologies.get(session.technology or "")
    return technology.chain if technology else ()


def _over(session: Session, stretch: Stretch) -> str:
    names = [session.base.nodes[node].name for node in stretch.nodes]
    if len(names) == 1:
        return f"across the {names[0]}"
    return f"across {' and '.join(names)}" if len(names) == 2 else f"from {names[0]} to {names[-1]}"


def _much(stretch: Stretch) -> str:
    volts = show(stretch.lost, "V", 2) if stretch.lost >= 1 else show(stretch.lost, "mV", 2)
    if math.isinf(stretch.ohms):
        return f"{volts}, which means open"
    return f"{volts}, about {show(stretch.ohms, 'mohm' if stretch.ohms < 0.1 else 'ohm', 2)}"
