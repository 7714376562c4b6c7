"""Where things stand on the screen: the suspects with their odds, and what has been and will be spent."""

from __future__ import annotations

from engine import spending
from engine.session import Session
from engine.wording import fault_name, in_words
from shell.layout import BLANK, Rows, bar, bullets, heading, para
from shell.words import likely, minutes, money, percent

MOST = 8


def standing(session: Session, width: int) -> Rows:
    """The suspects, their odds as a figure, a bar and words, and how many are ruled out."""
    rows = [BLANK, *heading("How the suspects stand", width)]
    if not session.circuit.faults:
        return [*rows, *para("There are no suspects before the kind of lamp is known.", width)]
    exclusions = session.reasoning.exclusions
    shown = [(fault_name(session.base, name), share, name in exclusions) for name, share in _shown(session)]
    shown.append(("something not known here", session.belief.unknown, False))
    for name, share, ruled in shown:
        tail = " (a rule rules it out: one answer may be a slip)" if ruled else ""
        rows += para(f"{name}: {likely(share)}{tail}", width, "", f"{percent(share):>6} {bar(share)} ", "strong")
    left = len(session.circuit.faults) - len(shown) + 1
    if left > 0:
        ruled_out = sum(1 for fault in session.circuit.faults if fault in exclusions)
        rows += para(f"{left} more are unlikely; {ruled_out} in all are ruled out.", width, "faint")
    return [*rows, *para("`doubt` and a name says why one is in or out.", width, "faint")]


def _shown(session: Session) -> list[tuple[str, float]]:
    ranking = session.belief.ranking()
    return [pair for index, pair in enumerate(ranking) if index < 3 or pair[1] >= 0.01][:MOST]


def spend(session: Session, width: int) -> Rows:
    """Minutes and money so far, what is ahead, and what replacing parts in order would have cost."""
    rows = [BLANK, *heading("Time and money", width)]
    if not session.circuit.faults:
        return [*rows, *para("Nothing can be reckoned before the kind of lamp is known.", width), *_own(session, width)]
    found = spending.spend(session)
    figures = (
        ("tests so far", f"{minutes(found.minutes)}, {money(found.money)}"),
        *([("repairs so far", money(found.repairs))] if found.repairs else []),
        ("expected ahead", money(found.ahead)),
        ("together", money(found.money + found.repairs + found.ahead)),
        ("without any tests", f"{money(found.blind)} (parts replaced in order)"),
    )
    rows += [one for name, text in figures for one in para(text, width, "strong", f"{name:<18} ", "", 2)]
    return [*rows, *_own(session, width)]


def _own(session: Session, width: int) -> Rows:
    base, prices = session.base, session.prices
    own = [f"{in_words(name)}: {figure:g}" for name, figure in prices.settings.items()]
    own += [f"{base.repairs[name].name}: part {figure:g} u" for name, figure in prices.parts.items()]
    own += [f"{base.access[name].name}: {figure:g} min" for name, figure in prices.access.items()]
    rows = [BLANK, *para("Your own figures", width, "strong"), *bullets(own, width)] if own else []
    hour = prices.setting(base, "hour-value")
    text = f"An hour is reckoned at {hour:g} u. {base.roles.invented} See `help price` and `help minutes`."
    return [*rows, BLANK, *para(text, width, "faint")]
