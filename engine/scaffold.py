"""Drafts of new entries: placeholders in angle brackets, comments that say what goes where, harmless until written."""

from __future__ import annotations

from collections.abc import Iterable

from engine.base import Base
from engine.references import ANY
from engine.session import Answer, Session

SECTION = {"rule": "rules", "question": "questions", "fault": "faults", "repair": "repairs", "case": "cases"}


def draft(base: Base, kind: str, name: str) -> str:
    """The lines of a draft below its section, indented by two. The base lends the ids that a draft must name."""
    return _DRAFTS[kind](base, name)


def _rule(base: Base, name: str) -> str:
    question = next(name for name, one in base.questions.items() if one.kind != "circumstance")
    outcomes = list(base.questions[question].outcomes)
    return f"""\
  {name}:
    # Facts that must all hold: questions with an outcome, or conclusions of other rules. [one, other] means either.
    when: {{{question}: {outcomes[-1]}}}
    # What follows. Keep what you need and take the # away; a selection such as {{section: feed, mode: open}} will do.
    # excludes: [{next(iter(base.faults))}]
    # proves: [{next(iter(base.faults))}]
    # raises: {{strong: [{next(iter(base.faults))}]}}  # weak, moderate or strong
    # lowers: {{weak: [{next(iter(base.faults))}]}}
    # concludes: {{a-name-of-yours: its-value}}
    # advises: [{_first(base.causes)}]
    because: <the reason in one plain sentence that can be read aloud>
    source: {_source(base)}  # where it comes from, an id of `sources`
"""


def _question(base: Base, name: str) -> str:
    return f"""\
  {name}:
    kind: test  # symptom: seen or told; test: done; reading: a number; circumstance: about the car, no evidence
    title: <a few words that name it in a list>
    ask: <the question in one or two short sentences>
    do:
      - <what to do, with which tool, what to switch on, for how long>
    # trap: <how it misleads, one sentence>
    minutes: 2  # working time; getting at the place comes on top, see `access`
    # access: {_first(base.access)}
    # tools: [{_first(base.tools)}]
    # cautions: [{_first(base.cautions)}]
    # slip: 0.04  # how often the answer is wrong; without it, that of its kind
    # suits: {{{base.roles.technology}: [{next(iter(base.technologies))}]}}
    # For a reading add `unit: V` and `plausible: [0, 16]`, and to its outcomes `below: 12` or `at_least: 12`.
    outcomes:
      sound: {{say: <what is seen when all is well here>}}
      bad: {{say: <what is seen when it is not>, usual: 0.02}}  # usual: how often on a car whose fault lies elsewhere
    # The answer says nothing until rules look at it: lampwright kb new rule NAME
"""


def _fault(base: Base, name: str) -> str:
    technology, entry = next(iter(base.technologies.items()))
    complaint = next(iter(base.questions[base.roles.complaint].outcomes))
    modes = ", ".join(dict.fromkeys(fault.mode for fault in base.faults.values() if fault.mode))
    return f"""\
  {name}:
    name: <the fault in a few words, as in broken filament>
    says: <what is wrong, for somebody who has never seen it>
    node: {entry.chain[0]}  # the part it sits in, an id of `nodes`
    mode: {next(fault.mode for fault in base.faults.values() if fault.mode)}  # how it shows: {modes}
    repair: {next(iter(base.repairs))}  # what cures it, an id of `repairs`
    # It is in play where a technology lists it, or it lists the technology: how often, out of a hundred of a complaint.
    # frequencies: {{{technology}: {{{complaint}: 1}}}}
    # Then give it a question that shows it and rules that prove and exclude it.
"""


def _repair(base: Base, name: str) -> str:
    return f"""\
  {name}:
    name: <the repair as an instruction, as in fit a new bulb>
    # part: {{ask_for: <what to ask for at the counter>, new: [10, 20]}}  # price band, lowest first
    minutes: 15  # working time; getting at the place comes on top, see `access`
    # access: {_first(base.access)}
    # tools: [{_first(base.tools)}]
    # cautions: [{_first(base.cautions)}]
    steps:
      - <what to do, in order>
    proof:
      - <how to prove it before everything is bolted back>
    # stale: [{next(iter(base.questions))}]  # questions whose answers no longer hold afterwards
    # A fault names it under `repair:`.
"""


def _case(base: Base, name: str) -> str:
    technology, complaint = _lamp(base)
    told = {base.roles.technology: technology, base.roles.complaint: complaint}
    session = Session(base, {question: Answer(outcome) for question, outcome in told.items()})
    verdict = session.verdict
    faults = f"    faults: [{', '.join(verdict.faults)}]\n" if verdict.kind in ("proved", "likely") else ""
    return f"""\
  {name}:
    story: <what happened, in a sentence or two>
    source: {_source(base, "invented")}
    # What the car would answer to each question that may be asked; what is not here is answered `unsure`.
    answers:
      {base.roles.technology}: {technology}
      {base.roles.complaint}: {complaint}
    verdict: {verdict.kind}  # proved, likely, open, normal, elsewhere, unknown, clash or stopped
{faults}    # faults: [{next(iter(base.faults))}]  # which may be named first
    # never: [{next(iter(base.faults))}]  # sound parts that must not be named with confidence
    # most: 8  # the most questions it may take when played
"""


def _lamp(base: Base) -> tuple[str, str]:
    """A technology, and a complaint that one of its faults shows."""
    technology, entry = next(iter(base.technologies.items()))
    shown = {complaint for row in entry.frequencies.values() for complaint in row if complaint != ANY}
    complaints = list(base.questions[base.roles.complaint].outcomes)
    return technology, next((one for one in complaints if one in shown), complaints[0])


def _source(base: Base, status: str = "practice") -> str:
    """A source of this status, or else any."""
    return next((name for name, one in base.sources.items() if one.status == status), next(iter(base.sources)))


def _first(section: Iterable[str]) -> str:
    """An id of a section, to show the form; where there is none yet, a word in its place."""
    return next(iter(section), "an-id")


_DRAFTS = {"rule": _rule, "question": _question, "fault": _fault, "repair": _repair, "case": _case}
