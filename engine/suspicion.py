"""How a new or changed rule sits with what the base expected before: which cars it would mislead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from engine.base import Base
from engine.expectations import expectations, ratio, usual
from engine.grounding import Circuit, Effect, GroundRule, ground

OFTEN = 0.05  # a rule met less often than this in cars with the fault takes little away
AGAINST = 1.2  # expected this much more often than usual, an outcome was known to belong to the fault
DEEPEST = 4  # conclusions upon conclusions that are followed


@dataclass(frozen=True)
class Doubtful:
    """A rule that speaks against a fault although what it rests on was expected under that fault.

    `met`: in which share of cars with the fault the rule would be met, by the older base; `usual`: in which of others.
    `against`: the older base knew that it belongs to the fault, so the two contradict each other. `harm`: of all cars
    with that lamp, the share that the rule would mislead.
    """

    rule: str
    technology: str
    fault: str
    kind: str
    met: float
    usual: float
    harm: float

    @property
    def against(self) -> bool:
        """Whether the older base expects it under the fault more often than usual."""
        return self.met > AGAINST * self.usual


def doubtful(old: Base, new: Base, rules: Iterable[str]) -> tuple[Doubtful, ...]:
    """What is doubtful about rules of the newer base; contradictions first, then by the harm they could do."""
    wanted = frozenset(rules)
    worst: dict[tuple[str, str], Doubtful] = {}
    for technology in new.technologies:
        if technology not in old.technologies:
            continue
        before, after = ground(old, technology), ground(new, technology)
        for rule in after.rules:
            if rule.id in wanted:
                for one in _of(rule, before, technology):
                    key = (one.rule, one.fault)
                    if key not in worst or (one.against, one.harm) > (worst[key].against, worst[key].harm):
                        worst[key] = one
    return tuple(sorted(worst.values(), key=lambda one: (not one.against, -one.harm, one.rule, one.fault)))


def _of(rule: GroundRule, before: Circuit, technology: str) -> Iterator[Doubtful]:
    shares = dict(zip(before.faults, before.prior(None), strict=True))
    for effect in rule.effects:
        if effect.kind not in ("excludes", "lowers"):
            continue
        for fault in sorted(effect.faults & set(before.faults)):
            met, common = met_by(rule, before, fault)
            lost = met * (1 - _kept(before.base, effect))
            if lost >= OFTEN:
                yield Doubtful(rule.id, technology, fault, effect.kind, met, common, shares[fault] * lost)


def _kept(base: Base, effect: Effect) -> float:
    return min(1.0, ratio(base, effect))


def met_by(rule: GroundRule, circuit: Circuit, fault: str, deep: int = 0) -> tuple[float, float]:
    """How often the findings of a rule come together in cars with a fault, and in those without; 0 to 1.

    Findings are taken as independent given the fault, as everywhere; circumstances are taken to be as the rule wants
    them; of several ways to a conclusion the most frequent counts.
    """
    base, table = circuit.base, expectations(circuit)
    told = {leaf.name: sorted(leaf.values)[0] for leaf in rule.when if leaf.name in base.circumstances}
    told.setdefault(base.roles.technology, circuit.technology or "")
    met = common = 1.0
    for leaf in rule.when:
        if leaf.name in base.circumstances:
            continue
        if leaf.name in base.questions:
            rows = [row for row, one in enumerate(base.questions[leaf.name].outcomes) if one in leaf.values]
            common *= float(usual(base, leaf.name)[rows].sum())
            column = table.table(leaf.name, told)[:, table.columns[fault]] if leaf.name in table.speaking else None
            met *= float((usual(base, leaf.name) if column is None else column)[rows].sum())
        else:
            makers = [
                one for one in circuit.rules if any(n == leaf.name and v in leaf.values for n, v in one.concludes)
            ]
            ways = [met_by(one, circuit, fault, deep + 1) for one in makers] if deep < DEEPEST else []
            found = max(ways, default=(0.0, 1.0))
            met, common = met * found[0], common * found[1]
    return met, common
