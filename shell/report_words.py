"""A report in words: what stands in it, section by section, whatever it is written in."""

from __future__ import annotations

from collections.abc import Iterable

from engine import picture, plot
from engine.document import Document
from engine.records import Found
from engine.report import Report, Search
from shell.render_jobs import time_words
from shell.render_verdict import HEADS
from shell.report_after import after
from shell.report_repair import repair
from shell.sections import Block, Items, Pair, Pairs, Paper, Para, Picture, Section, Table
from shell.words import capital, few, likely, percent, sentence

SUSPECTS = 6  # so many are named beside each other
WORTH = 0.02  # a share from which a suspect is named
ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth")
RESULTS = {
    "works": "the lamp works",
    "unchanged": "the lamp failed as before",
    "changed": "the lamp failed in another way",
    None: "not yet proved",
}


def paper(report: Report, label: str = "") -> Paper:
    """The report in words. `label` is said at its head, as that it is an invented example."""
    sections = [
        Section("In short", _short(report)),
        Section("The complaint", (_pairs(report.about),)),
        *(section for number, one in enumerate(report.searches) for section in _search(report, number, one)),
        Section("How the odds moved", _odds(report)),
        *after(report),
    ]
    return Paper(f"Record of job {report.job}", _under(report), label, tuple(one for one in sections if one.blocks))


def _under(report: Report) -> tuple[str, ...]:
    if report.begun is None or report.ended is None:
        return ("Nothing has been told yet.",)
    told = [f"{report.headline}."] if report.headline else []
    days = f", worked on {report.days} days" if report.days > 1 else ""
    state = "closed" if report.closed else "open"
    return (*told, f"{time_words(report.begun)} to {time_words(report.ended)}{days}; {state}.")


def _short(report: Report) -> tuple[Block, ...]:
    """What was found and what became of it, in a line each."""
    lines = []
    for one in report.searches:
        line = f"{head_of(one.verdict)}."
        if one.attempt is not None:
            line += f" {capital(one.attempt.name)}: {RESULTS[one.attempt.result]}."
        lines.append(line)
    if report.cured:
        open_ = [cause.name for cause in report.causes if cause.open]
        lines.append(
            f"Why it failed is still open: {few(open_)}. The new part may fail too."
            if open_
            else "The lamp works, and nothing is left open about why it failed."
        )
    return (Items(tuple(lines)),) if lines else ()


def head_of(verdict: Document) -> str:
    """A verdict in a line, with its odds."""
    names = {one.fault: one.name for one in verdict.suspects}
    head = HEADS[verdict.verdict]
    said = head.format(names=few((names.get(one, one) for one in verdict.faults), 2))
    odds = f" ({percent(verdict.share)}, {likely(verdict.share)})" if "{names}" in head and verdict.faults else ""
    return f"{said}{odds}"


def _search(report: Report, number: int, one: Search) -> Iterable[Section]:
    several = len(report.searches) > 1
    lead = f"{ORDINALS[number] if number < len(ORDINALS) else 'Next'} search: " if several else ""
    found: list[Block] = [_pairs(one.found)] if one.found else [Para("Nothing was measured or looked at.", "faint")]
    if one.open:
        found.append(Para(f"Could not be told: {'; '.join(one.open)}.", "faint"))
    yield Section(capital(f"{lead}what was found"), tuple(found))
    yield Section(capital(f"{lead}the verdict"), tuple(_verdict(number, one)))
    if one.attempt is not None:
        yield Section(capital(f"{lead}the repair and its proof"), repair(one.attempt, RESULTS[one.attempt.result]))


def _pairs(found: Iterable[Found]) -> Pairs:
    return Pairs(
        tuple(
            Pair(
                capital(one.title),
                sentence(one.said),
                (*map(sentence, one.working), *([one.doubt] if one.doubt else [])),
            )
            for one in found
        )
    )


def _verdict(number: int, one: Search) -> Iterable[Block]:
    verdict = one.verdict
    yield Para(f"{head_of(verdict)}{'' if verdict.final else '. So far; the search had not ended'}.", "strong")
    if verdict.verdict == "stopped":
        yield Para("No test is worth this risk: leave it to a licensed workshop.", "warn")
    if verdict.verdict == "unknown":
        yield Para(f"The answers fit none of the known faults well ({percent(verdict.unknown)} for something else).")
    if verdict.clash is not None:
        yield Para("These answers cannot all be true:")
        yield Items(verdict.clash.answers)
    if one.because:
        yield Para(f"Why: {' '.join(map(sentence, dict.fromkeys(one.because)))}")
    if verdict.against_logic:
        yield Para("A rule rules this out, yet the odds favour it. One of the answers may be a slip.", "warn")
    left = [f"{entry.name} {percent(entry.share)}" for entry in verdict.suspects[:SUSPECTS] if entry.share >= WORTH]
    if left and verdict.verdict != "stopped":
        yield Para(f"The suspects then: {'; '.join(left)}; something not known here {percent(verdict.unknown)}.")
    if one.graph:
        drawn = picture.draw(one.graph, f"reasoning-{number + 1}", percent)
        caption = "From findings, through rules, to the faults: what speaks for and against, and what is ruled out"
        yield Picture(drawn, caption, Items(picture.sentences(one.graph, percent)), True)


def _odds(report: Report) -> tuple[Block, ...]:
    odds = report.odds
    if not odds:
        return ()
    rows = tuple(
        (f"{number}. {point.said}", *map(percent, point.shares)) for number, point in enumerate(odds.points, 1)
    )
    caption = "The share of each suspect after each answer"
    drawn = Picture(plot.draw(odds, "odds", percent), caption, Table(("After", *odds.names), rows))
    idle = Para(f"{odds.idle} more answers moved none of these and have no line of their own.", "faint")
    return (drawn, idle) if odds.idle > 1 else (drawn,)
