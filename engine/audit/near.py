"""Which rules a finding can have a part in: forward through conclusions, and back to what those rules need."""

from __future__ import annotations

from collections.abc import Iterable

from engine.grounding import GroundRule


class Near:
    """The rules of a circuit, found by what they read and what they conclude."""

    def __init__(self, rules: Iterable[GroundRule]) -> None:
        self.readers: dict[str, list[GroundRule]] = {}
        self.makers: dict[str, list[GroundRule]] = {}
        for rule in rules:
            for leaf in rule.when:
                self.readers.setdefault(leaf.name, []).append(rule)
            for name, _ in rule.concludes:
                self.makers.setdefault(name, []).append(rule)

    def rules(self, question: str) -> list[GroundRule]:
        """The rules that a question's answer can set off, and those that make the other facts they need."""
        found: dict[int, GroundRule] = {}
        forward, seen = [question], {question}
        while forward:
            for rule in self.readers.get(forward.pop(), ()):
                found[id(rule)] = rule
                fresh = {name for name, _ in rule.concludes} - seen
                seen |= fresh
                forward.extend(fresh)
        needed = [leaf.name for rule in found.values() for leaf in rule.when]
        while needed:
            for rule in self.makers.get(needed.pop(), ()):
                if id(rule) not in found:
                    found[id(rule)] = rule
                    needed.extend(leaf.name for leaf in rule.when)
        return list(found.values())
