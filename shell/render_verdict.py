"""The verdict on the screen: what it is, how sure and why, what to do now, what not to buy, what to mind."""

from __future__ import annotations

from engine import explanation, turning
from engine.buying import not_bought
from engine.document import Document, document
from engine.schema import RepairStep
from engine.session import Session
from engine.verdict import CLEARED
from engine.wording import fact_words, fault_name, fill, title, told_words
from shell.layout import BLANK, Rows, bullets, heading, numbered, para, run_in
from shell.saving import difference
from shell.words import capital, few, likely, minutes, money, percent, sentence

SHOWN = 5  # so many repairs are listed at most

HEADS = {
    "proved": "Found: {names}",
    "likely": "Most likely: {names}",
    "open": "Not settled: first suspect {names}",
    "normal": "Nothing is broken: {names}",
    "elsewhere": "Not in the headlamp: {names}",
    "unknown": "Outside what is known here",
    "clash": "Your answers contradict each other",
    "stopped": "Stop here, for safety",
}


def verdict(session: Session, width: int) -> Rows:
    """The verdict; what is settled only so far says so."""
    found = document(session)
    rows = heading(_head(session, found), width, "" if found.final else "so far")
    rows += para(_how_sure(session, found), width)
    rows += _beside(session, width)
    rows += other_complaint(session, width) if found.final else []
    rows += bullets(found.trace.losses, width)
    rows += _mind(found, width)
    if found.clash is not None:
        rows += clash(session, width)
    if found.against_logic:
        text = "Note: a rule rules this out, yet the odds favour it. One of your answers may be a slip: see `doubt`."
        rows += para(text, width, "warn")
    if found.verdict == "stopped" or not session.circuit.faults:
        return [*rows, *_left_out(session, width)]
    rows += _do_now(session, found, width)
    if found.final and found.verdict in ("proved", "likely", "normal", "elsewhere") and not found.covered:
        rows += _how(session, width)
    rows += _buy(session, found, width)
    rows += _causes(session, found, width)
    return [*rows, *_left_out(session, width), *_saved(session, found, width)]


def _head(session: Session, found: Document) -> str:
    names = few((fault_name(session.base, fault) for fault in found.faults), 2)
    if not session.circuit.faults and found.verdict == "open":
        return "Nothing can be said before the kind of lamp is known"
    if found.final and not found.tries and found.verdict in ("open", "unknown"):
        return f"Hand it on; first suspect {names}"
    return HEADS[found.verdict].format(names=names)


def _how_sure(session: Session, found: Document) -> str:
    """What it is, how sure that is and why, in plain sentences."""
    says = " ".join(session.base.faults[fault].says for fault in found.faults[:1])
    odds = f"{percent(found.share)}, {likely(found.share)}"
    match found.verdict:
        case "stopped":
            reasons = dict.fromkeys(_because(session, firing.rule.id) for firing in session.verdict.stopped_by)
            return f"{' '.join(map(sentence, reasons))} No test is worth this risk: leave it to a licensed workshop."
        case "clash":
            return "They cannot all be true. Nothing below is worth much before one of them has been looked at again."
        case "unknown":
            share = percent(found.unknown)
            told = f"Your answers fit none of the faults known here well ({share} for something else)."
            return f"{told} Do not buy parts on this."
        case "open" if found.faults:
            then = "act in the order below" if found.tries else "hand it on"
            return f"{says} The odds: {odds}. {_grounds(session, found)} Not enough to call it: {then}."
        case "open":
            return "There is no answer yet to go by."
        case "elsewhere":
            return f"{says} The odds: {odds}. {_grounds(session, found)} Spend no money on the lamp itself."
    return f"{says} The odds: {odds}. {_grounds(session, found)}"


def _beside(session: Session, width: int) -> Rows:
    """That what has been found is probably not alone."""
    pair = explanation.beside(session)
    if pair is None:
        return []
    name, share = pair
    sure = share > 0.5
    head, tail = ("Not alone, it seems", "Put both right.") if sure else ("Perhaps not alone", "Look at both.")
    text = f"{head}: {fault_name(session.base, name)} ({percent(share)}, {likely(share)}). {tail}"
    return para(text, width, "strong")


def other_complaint(session: Session, width: int) -> Rows:
    """What is to be done about the other complaint."""
    role = session.base.roles.complaint
    left = turning.unexplained(session)
    if left is not None:
        says = fact_words(session, left.light or role, left.complaint)
        return para(
            f"This does not explain the other thing you told. {capital(says)} `turn` looks for that.", width, "strong"
        )
    if session.waiting is not None:
        return para(f"`turn` goes back to the other complaint: {told_words(session.waiting, role)}", width)
    return []


def _because(session: Session, rule: str) -> str:
    return session.base.rules[rule].because


def _grounds(session: Session, found: Document) -> str:
    """The rule that proves the leading fault, or the answer that speaks most for it."""
    fault = found.faults[0]
    proofs = session.reasoning.proofs.get(fault, ())
    if proofs:
        facts = few(fact_words(session, *fact).rstrip(".") for fact in proofs[0].facts)
        return f"Why: {facts}. {sentence(_because(session, proofs[0].rule.id))}"
    best = next(iter(explanation.grounds(session, fault)), "")
    ruled = sum(1 for other in session.circuit.faults if other in session.reasoning.exclusions)
    parts = [f"Most for it speaks: {best.rstrip('.')}." if best else ""]
    parts.append(f"{ruled} of {len(session.circuit.faults)} suspects are ruled out." if ruled else "")
    return " ".join(part for part in parts if part)


def clash(session: Session, width: int) -> Rows:
    """The smallest set of answers that cannot all be true, the rules that make them clash, and which to check again."""
    found = session.clash
    if found is None:
        return []
    rows = [BLANK, *para("These cannot all be true:", width, "strong")]
    rows += bullets((fact_words(session, name, session.told[name]) for name in found.questions), width)
    rows += para("because of these rules:", width)
    rules = dict.fromkeys(firing.rule.id for firing in found.firings)
    rows += bullets([f"{rule}: {_because(session, rule)}" for rule in list(rules)[:6]], width)
    again = f"Check again first: {title(session, found.suspect)} (say `amend {found.suspect}`)"
    return [*rows, *para(again, width, "strong")]


def _mind(found: Document, width: int) -> Rows:
    rows: Rows = []
    for one in found.cautions:
        rows += run_in("! ", one.name, one.say, width, 0, "warn")
    return rows


def _do_now(session: Session, found: Document, width: int) -> Rows:
    if not found.actions:
        return []
    head = "Do now" if found.final else "If you had to act now"
    shown = [one for index, one in enumerate(found.actions[:SHOWN]) if index == 0 or one.share > CLEARED]
    texts = [f"{one.name}: {percent(one.share)} that it cures, {money(one.cost)} with your time" for one in shown]
    if found.tries < len(shown):
        risked = found.verdict in ("proved", "likely") and not found.covered
        own = texts[found.tries : found.tries + 1] if risked else []
        texts[found.tries :] = [_hand_on(found), *(f"or at your own risk: {one}" for one in own)]
    return [BLANK, *para(head, width, "title"), *numbered(texts, width)]


def _hand_on(found: Document) -> str:
    """That it is cheaper now to let somebody else go on."""
    if found.covered:
        return f"have it put right under the guarantee ({money(found.hand_on)} for the way): open nothing, buy nothing"
    price = f"about {money(found.hand_on)} beside the repair"
    if found.tries:
        return f"if it still fails, hand the job on to a workshop ({price}): more tries would cost more"
    return f"hand the job on to a workshop ({price}): no try of your own is worth its cost"


def _how(session: Session, width: int) -> Rows:
    """The steps of the first repair and how to prove it."""
    base, rows = session.base, []
    for name in session.verdict.actions[0].repairs if session.verdict.actions else ():
        entry = base.repairs[name]
        rows += [BLANK, *para(f"How to {entry.name} ({minutes(entry.minutes)})", width, "title")]
        rows += numbered([_step(session, step) for step in entry.steps], width)
        rows += para("Prove it before everything is bolted back:", width)
        rows += bullets([_step(session, step) for step in entry.proof], width)
    return rows


def _step(session: Session, step: RepairStep) -> str:
    names = ", ".join(session.base.cautions[name].name for name in step.cautions)
    return f"{f'Mind: {names}. ' if names else ''}{fill(session, step.do)}"


def _buy(session: Session, found: Document, width: int) -> Rows:
    rows: Rows = []
    first = found.actions[:1]
    if found.final and not found.covered and first and first[0].buy and found.verdict in ("proved", "likely"):
        rows += [BLANK, *para("Ask for", width, "title"), *bullets(first[0].buy, width)]
        rows += bullets((f"Never instead: {one}" for one in first[0].never), width, look="warn")
    if session.verdict.not_to_buy:
        rows += [BLANK, *para("Do not pay for", width, "title")]
        rows += bullets((_not_bought(session, name) for name in session.verdict.not_to_buy), width)
    return rows


def _not_bought(session: Session, repair: str) -> str:
    found = not_bought(session, repair)
    return f"{found.name}: {found.because or f'only {percent(found.share)} that it would cure.'}"


def _causes(session: Session, found: Document, width: int) -> Rows:
    if not found.causes or found.covered:
        return []
    rows = [BLANK, *para("Look for why it failed, or the new part may fail too", width, "title")]
    return [*rows, *bullets((f"{one.name}. {sentence(one.look)} {sentence(one.mend)}" for one in found.causes), width)]


def _left_out(session: Session, width: int) -> Rows:
    rows: Rows = []
    later = sorted(session.later, key=session.base.order.__getitem__)
    if later:
        names = few((f"{title(session, name)} ({name})" for name in later), 6)
        rows += [BLANK, *para(f"Put off: {names}. `amend` and the name asks it again.", width)]
    if session.declined:
        names = few((session.base.cautions[name].name for name in sorted(session.declined)), 6)
        rows += [BLANK, *para(f"Left out because of its dangers: tests with {names}.", width)]
    return rows


def _saved(session: Session, found: Document, width: int) -> Rows:
    spent = found.spend
    if not found.final or not session.answers:
        return []
    used = spent.money + spent.repairs + spent.ahead
    saving = spent.blind - used
    done = f" and what was mended so far {money(spent.repairs)}" if spent.repairs else ""
    took = f"Your tests took {minutes(spent.minutes)} ({money(spent.money)}){done}"
    told = f"{took}; what is left costs about {money(spent.ahead)}."
    if found.covered:
        return [BLANK, *para(f"{took}.", width), *para(session.base.roles.invented, width, "faint")]
    blind = f"Replacing parts in order, without tests, would have cost about {money(spent.blind)}. {difference(saving)}"
    return [BLANK, *para(f"{told} {blind}", width), *para(session.base.roles.invented, width, "faint")]
