"""A repair in a written report: what was done, how it was proved, and what its failure made worthless."""

from __future__ import annotations

from engine.records import Attempt
from shell.sections import Block, Items, Pair, Pairs, Para
from shell.words import capital, sentence


def repair(one: Attempt, result: str) -> tuple[Block, ...]:
    """The repair in words; `result` says how the lamp was after it."""
    blocks: list[Block] = [Para(f"{capital(one.name)}, for {' or '.join(one.faults)}: {result}.", "strong")]
    if one.steps:
        blocks += [Para("What was done:"), Items(tuple(map(sentence, map(capital, one.steps))), True)]
    if one.checks:
        pairs = (
            Pair(
                capital(check.title),
                sentence(f"before: {check.before.rstrip('.') or 'not asked'}; after: {check.after}"),
            )
            for check in one.checks
        )
        blocks += [Para("Measured again behind the repair:"), Pairs(tuple(pairs))]
    if one.proof:
        blocks += [Para("The proof:"), Items(tuple(map(sentence, one.proof)))]
    if one.dropped:
        text = "The new part is most likely good, and there was a second fault. No longer counted, and asked anew"
        blocks.append(Para(f"{text}: {'; '.join(one.dropped)}."))
    return tuple(blocks)
