"""What to buy on the screen: what to ask for, prices, what fits, one or a pair; and acting set against testing."""

from __future__ import annotations

from engine.base import Base
from engine.buying import Offer, fitting, offers, ways
from engine.session import Session
from engine.wording import repairs_name, title
from shell.layout import BLANK, Rows, bullets, heading, labelled, para
from shell.tables_at_hand import tables
from shell.words import capital, money, percent

SIZE = 10
LABELS = {"new": "new", "used": "used", "aftermarket": "copy"}


def buy_rows(session: Session, repair: str, width: int) -> Rows:
    """The parts of a repair, or of the one to do first; with the comparison of acting and testing."""
    base = session.base
    hand = session.mending.hand
    first = hand.repairs if hand is not None else session.verdict.actions[0].repairs
    repairs = (repair,) if repair else first
    rows = [BLANK, *heading(f"To buy: {repairs_name(base, repairs)}", width)]
    found = offers(base, session.prices, repairs)
    for one in found:
        rows += _offer(one, width)
    rows += [] if found else para("Nothing needs to be bought for it.", width)
    rows += source_rows(session, repairs, width)
    return [*rows, *comparison(session, width), *para(base.roles.invented, width, "faint")]


def _offer(one: Offer, width: int) -> Rows:
    rows = labelled("Ask for", [one.ask_for], width, size=SIZE)
    if one.quote is not None:
        rows += labelled("Price", [f"{money(one.quote)}, as you were quoted"], width, size=SIZE)
    else:
        bands = ", ".join(f"{LABELS[band.kind]} {money(band.low)} to {money(band.high)}" for band in one.bands)
        hint = f"`price {one.repair} 55` puts a quote in its place"
        rows += labelled("Price", [f"{bands}. {hint}"] if bands else [hint], width, size=SIZE)
    rows += labelled("How many", [one.pair] if one.pair else [], width, size=SIZE)
    return [*rows, *labelled("Never", [one.never] if one.never else [], width, "warn", SIZE)]


def source_rows(session: Session, repairs: tuple[str, ...], width: int) -> Rows:
    """What fits in place of the stamped category, where the repair is on the light source."""
    if not any(session.base.repairs[name].touches == "source" for name in repairs):
        return []
    if not session.mending.category:
        hint = "Read the stamp on the base of the old one and say it, as in `stamp H7`: then what fits is listed."
        return [BLANK, *para(hint, width)]
    return stamp_rows(session.base, session.mending.category, width)


def stamp_rows(base: Base, category: str, width: int) -> Rows:
    """What may and must not be fitted in place of a category."""
    found = fitting(category, tables(base).light_sources)
    rows = [BLANK, *para(f"In place of {found.category}", width, "strong")]
    rows += labelled("Fits", [f"{name}: {why}" for name, why in found.fits], width, size=SIZE)
    rows += labelled("Must not", [f"{name}: {why}" for name, why in found.never], width, "warn", SIZE)
    text = "Anything else that is pushed in needs an approval for this lamp in your country; local rules decide."
    return [*rows, *para(text, width, "faint", indent=2)]


def comparison(session: Session, width: int) -> Rows:
    """What acting now, acting in order and testing first are expected to cost."""
    found = ways(session)
    if found is None or session.mending.hand is not None:
        return []
    rows = [BLANK, *para("Act or test? Expected cost of the whole job", width, "strong")]
    now = f"{money(found.now)}: cures with {percent(found.chance)}; if not, the job is handed on"
    order = f"{money(found.in_order)}: one repair after another until it works"
    test = f"{money(found.testing)}: next, {title(session, found.question)}" if found.testing is not None else ""
    lines = [
        ("the likeliest part alone", now),
        ("repairs in order", order),
        ("testing first", test or "no test left is worth its cost"),
    ]
    return [*rows, *bullets((f"{capital(name)}: {text}" for name, text in lines), width)]
