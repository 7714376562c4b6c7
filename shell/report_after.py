"""What stands in a written report after the search: money, root causes, aim, cautions, remarks, sources."""

from __future__ import annotations

from collections.abc import Iterable

from engine.buying import Offer
from engine.physics.units import show
from engine.records import Aim, Cause
from engine.report import Report
from engine.wording import in_words
from shell.render_jobs import time_words
from shell.saving import order_words
from shell.sections import Block, Items, Pair, Pairs, Para, Section
from shell.words import capital, minutes, money, percent, sentence

SEEN = {
    "found": "Found, and not mended yet.",
    "not": "Looked for, and not there.",
    "mended": "Found and mended.",
    "later": "Put off.",
    "": "Not looked at.",
}
STATUS = {
    "read": "read at its source",
    "memory": "from memory, not looked up",
    "practice": "common practice",
    "invented": "invented",
}
WAYS = {"up": "too high", "down": "too low", "on": "on its mark"}
LAW = "Local rules and the maker's instructions come first."


def after(report: Report) -> tuple[Section, ...]:
    """The sections after the search; those without content are empty."""
    return (
        Section("Bought and not bought", tuple(_money(report))),
        Section("Why it failed", tuple(_causes(report))),
        Section("The aim", tuple(_aim(report.aim)) if report.aim else ()),
        Section("What came off, and where it lay", _fasteners(report)),
        Section("Cautions given", tuple(_cautions(report))),
        Section("Remarks", _remarks(report)),
        Section("Where this comes from", tuple(_sources(report))),
    )


def _money(report: Report) -> Iterable[Block]:
    if report.bought:
        yield Para("Needed for the repairs:")
        yield Pairs(tuple(_offer(one) for one in report.bought))
    if report.category:
        yield Para(f"The light source is stamped {report.category}.")
    if report.not_bought:
        yield Para("Not bought, though many would have:")
        yield Pairs(
            tuple(
                Pair(capital(one.name), sentence(one.because or f"only {percent(one.share)} that it would have cured"))
                for one in report.not_bought
            )
        )
    spent = report.spend
    yield Para(f"The tests took {minutes(spent.minutes)} ({money(spent.money)}, the time included).")
    if spent.repairs:
        yield Para(f"The repairs cost {money(spent.repairs)}, parts, time and errands included.")
    if spent.in_order is not None:
        yield Para(order_words(spent), "strong")
    else:
        yield Para(
            f"What is left costs about {money(spent.ahead)}. "
            f"Replacing parts in order, without tests, was expected to cost {money(spent.blind)}."
        )
    yield Para(report.note, "faint")


def _offer(one: Offer) -> Pair:
    bands = "; ".join(f"{band.kind} {band.low:g} to {band.high:g} u" for band in one.bands)
    price = f"your price: {money(one.quote)}" if one.quote is not None else bands
    notes = [sentence(price)] if price else []
    notes += [sentence(one.pair)] if one.pair else []
    notes += [sentence(one.never)] if one.never else []
    return Pair(capital(in_words(one.repair)), sentence(one.ask_for), tuple(notes))


def _causes(report: Report) -> Iterable[Block]:
    if report.looked_into:
        yield Para("Asked about it:")
        yield Pairs(tuple(Pair(capital(one.title), sentence(one.said)) for one in report.looked_into))
    if report.causes:
        yield Para("The causes that bear on it:")
        yield Pairs(tuple(_cause(one) for one in report.causes))
        if report.cured and any(one.open for one in report.causes):
            yield Para("A cause is still open. The new part may fail as the old one did.", "warn")


def _cause(one: Cause) -> Pair:
    notes = () if one.seen == "not" else (sentence(f"Look: {one.look}"), sentence(f"Mend: {one.mend}"))
    return Pair(capital(one.name), SEEN[one.seen], notes)


def _aim(one: Aim) -> Iterable[Block]:
    frame = one.frame
    low, high = (show(limit, "%") for limit in frame.limits)
    wall = f"Lamp {show(frame.height, 'cm')} above the ground, wall {show(frame.distance, 'm')} away."
    yield Para(f"{frame.title}. {wall} Setting {show(frame.target, '%')}, passes from {low} to {high}.")
    if one.readings:
        heights = ", then ".join(show(reading, "cm") for reading in one.readings)
        yield Para(f"The cut-off was read at {heights}.")
    if one.offset is not None:
        off = one.offset
        far = "" if off.way == "on" else f" by {show(abs(off.height), 'cm')} ({show(abs(off.height), 'in')})"
        passes = "within what passes" if off.inside else "outside what passes"
        yield Para(f"Last reading: {WAYS[off.way]}{far}, {passes}.", "" if off.inside else "warn")
    yield Para("Which rule holds is for the law where you are; the plate near the lamp goes before it.", "faint")


def _fasteners(report: Report) -> tuple[Block, ...]:
    pairs = (Pair(f"{one.count} x {one.what}", sentence(one.place) if one.place else "") for one in report.fasteners)
    return (Pairs(tuple(pairs)),) if report.fasteners else ()


def _cautions(report: Report) -> Iterable[Block]:
    if report.cautions:
        ordered = sorted(report.cautions, key=lambda one: not one.serious)
        yield Pairs(tuple(Pair(capital(one.name), sentence(one.say)) for one in ordered))
    yield Para(f"{LAW} Discharge lamps, orange cables and airbag wiring are for licensed hands.", "warn")


def _remarks(report: Report) -> tuple[Block, ...]:
    pairs = (Pair(time_words(one.time), one.text) for one in report.remarks)
    return (Pairs(tuple(pairs)),) if report.remarks else ()


def _sources(report: Report) -> Iterable[Block]:
    if report.sources:
        yield Items(tuple(f"{one.title} ({STATUS.get(one.status, one.status)})" for one in report.sources))
    yield Para("The odds rest on judged frequencies and strengths, not on a survey.", "faint")
