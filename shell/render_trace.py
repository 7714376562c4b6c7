"""The reasoning on the screen: what was said, which rules fired on it, where and why, and what that leaves."""

from __future__ import annotations

from collections.abc import Iterable

from engine import explanation
from engine.explanation import Line, Told
from engine.session import Session
from engine.wording import fault_name, outcome_words
from shell.layout import BLANK, Rows, bullets, heading, labelled, para, row, run_in
from shell.words import few, percent

MARGIN = 8


def trace(session: Session, width: int) -> Rows:
    """From answers, through rules, to conclusions."""
    found = explanation.trace(session)
    rows = [BLANK, *heading("The reasoning so far", width)]
    if not found.told:
        return [*rows, *para("There is no answer yet.", width)]
    rows += [BLANK, *para("What you said", width, "title")]
    for one in found.told:
        rows += _told_rows(session, one, width)
    if found.losses:
        rows += [BLANK, *para("Where volts are lost", width, "title"), *bullets(found.losses, width)]
    rows += [BLANK, *para("What the rules made of it", width, "title")]
    spoke = {one.rule for one in found.lines if one.did}
    rows += firing_rows((one for one in found.lines if one.rule in spoke), width)
    rows += [] if spoke else para("No rule has spoken yet.", width, indent=2)
    silent = dict.fromkeys(one.rule for one in found.lines if one.rule not in spoke)
    rows += para(f"Without effect on this lamp: {', '.join(silent)}.", width, "faint", indent=2) if silent else []
    return [*rows, BLANK, *para("Where that leaves the suspects", width, "title"), *_left(session, width)]


def _told_rows(session: Session, one: Told, width: int) -> Rows:
    said = outcome_words(session, one.question, one.outcome) if one.outcome else "cannot tell"
    figure = f"{one.said}. " if one.working else ""
    rows = run_in("  ", one.title, f"{figure}{said}", width)
    for line in one.working:
        rows += para(line, width, "faint", indent=6)
    if one.doubt:
        rows += para(f"Weighed lightly. {one.doubt}", width, "warn", indent=6)
    return rows


def firing_rows(lines: Iterable[Line], width: int) -> Rows:
    """Rules that fired: id, place, what they matched, what they did, why and says who."""
    rows: Rows = []
    for firings in _by_rule(lines):
        one = firings[0]
        gap = width - 2 - len(one.rule) - len(one.place)
        if gap >= 2:
            rows.append(row("  ", ("strong", one.rule), " " * gap, ("faint", one.place)))
        else:
            rows += [*para(one.rule, width, "strong", indent=2), *para(one.place, width, "faint", indent=4)]
        for did, matched in _by_deed(firings).items():
            rows += labelled("  from", matched, width, size=MARGIN)
            rows += labelled("  so", [_shorter(text) for text in did] or ["nothing for this lamp"], width, size=MARGIN)
        rows += labelled("  why", [one.because], width, size=MARGIN)
        rows += labelled("  says", ["; ".join(one.sources)], width, size=MARGIN)
        if any(firing.doubtful for firing in firings):
            text = "It rests on an answer that says little, so it counts for little and rules nothing out."
            rows += para(text, width, "warn", indent=4)
    return rows


def _by_rule(lines: Iterable[Line]) -> list[list[Line]]:
    """Firings of one rule together, in the order in which each rule first fired."""
    groups: dict[str, list[Line]] = {}
    for one in lines:
        groups.setdefault(one.rule, []).append(one)
    return list(groups.values())


def _by_deed(firings: list[Line]) -> dict[tuple[str, ...], list[str]]:
    """What each thing done rests on; firings that do nothing are left out where others of the rule do something."""
    deeds: dict[tuple[str, ...], list[str]] = {}
    for one in firings:
        deeds.setdefault(one.did, []).append(" and ".join(text.rstrip(".") for text in one.matched))
    return {did: matched for did, matched in deeds.items() if did} or deeds


def _shorter(text: str) -> str:
    """`so supply: sound` stands beside a label that says `so` already."""
    return text.removeprefix("so ")


def _left(session: Session, width: int) -> Rows:
    if not session.circuit.faults:
        return para("No suspects before the kind of lamp is known.", width, indent=2)
    rows: Rows = []
    ranking = session.belief.ranking()
    for fault, share in [one for one in ranking if one[1] >= 0.02][:6]:
        ruled = ", though a rule rules it out" if fault in session.reasoning.exclusions else ""
        rows += para(f"{fault_name(session.base, fault)}{ruled}", width, "", f"{percent(share):>6}  ", "strong")
    rows += para("something not known here", width, "", f"{percent(session.belief.unknown):>6}  ", "strong")
    out = [fault_name(session.base, fault) for fault in session.circuit.faults if fault in session.reasoning.exclusions]
    if out:
        rows += para(f"Ruled out ({len(out)}): {few(out, 8)}.", width, indent=2)
    return rows
