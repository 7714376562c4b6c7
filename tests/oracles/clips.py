"""The same rules in CLIPS, a rule engine that shares no code with ours (clipspy, https://clipspy.readthedocs.io)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import clips  # type: ignore[import-untyped]  # ships no type hints

from engine._experta import Leaf
from engine.grounding import GroundRule
from tests.oracles.brute import Fact, Fired


class Clips:
    """Rules compiled by CLIPS; `fire` reasons from facts to quiescence."""

    def __init__(self, rules: Sequence[GroundRule]) -> None:
        self._environment = clips.Environment()
        for number, rule in enumerate(rules):
            self._environment.build(_construct(number, rule))

    def fire(self, facts: Iterable[Fact]) -> set[Fired]:
        """Every firing, as the number of the rule and the facts it matched, in leaf order."""
        self.run(facts)
        return {_fired(fact) for fact in self._environment.facts() if fact.template.name == "fired"}

    def run(self, facts: Iterable[Fact]) -> None:
        """Reason afresh, without reading back what fired."""
        self._environment.reset()
        for name, value in facts:
            self._environment.assert_string(f'(known "{name}" "{value}")')
        self._environment.run()


def _construct(number: int, rule: GroundRule) -> str:
    """A rule in CLIPS; it notes what it matched, and then asserts what it concludes."""
    wanted = [f'(known "{leaf.name}" ?v{slot}&{_values(leaf)})' for slot, leaf in enumerate(rule.when)]
    barred = [f'(not (known "{leaf.name}" {_values(leaf)}))' for leaf in rule.unless]
    matched = " ".join(f'"{leaf.name}" ?v{slot}' for slot, leaf in enumerate(rule.when))
    asserted = " ".join(f'(assert (known "{name}" "{value}"))' for name, value in rule.concludes)
    return f"(defrule r{number} {' '.join([*wanted, *barred])} => (assert (fired {number} {matched})) {asserted})"


def _values(leaf: Leaf) -> str:
    return "|".join(f'"{value}"' for value in sorted(leaf.values))


def _fired(fact: Iterable[object]) -> Fired:
    number, *words = fact
    names = [str(word) for word in words]
    return int(str(number)), tuple(zip(names[::2], names[1::2], strict=True))
