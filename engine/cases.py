"""Worked cases as regression tests: each is told all at once, and played question by question, to its end."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from engine.answers import Refused, interpret
from engine.base import Base
from engine.givens import depth
from engine.schema import Case
from engine.session import Answer, Ask, Fill, Session, Warn
from engine.verdict import Certainty, Kind

MOST_STEPS = 150  # no job takes so many; a session that does is going round in circles
FAINT = 0.001  # a smaller share is not kept with an ending


class Unplayable(Exception):
    """A case whose answers the program does not take, or a session that does not end."""


@dataclass(frozen=True)
class Turn:
    """One step of the dialogue: what was asked or warned of, what was said, and the session afterwards."""

    asked: str
    said: str
    opening: bool
    again: bool
    after: Session

    @property
    def counts(self) -> bool:
        """Whether it is a question beyond the opening; cautions and second looks are none."""
        return bool(self.asked) and not self.opening and not self.again


@dataclass(frozen=True)
class Played:
    """A case played to its end."""

    session: Session
    turns: tuple[Turn, ...]

    @property
    def questions(self) -> int:
        """Questions asked beyond the opening."""
        return len(self.asked)

    @property
    def asked(self) -> tuple[str, ...]:
        """The questions asked beyond the opening, in order."""
        return tuple(turn.asked for turn in self.turns if turn.counts)


@dataclass(frozen=True)
class Ending:
    """How a case ended, as plain values that can cross from process to process. Shares are from 0 to 1.

    `asked` are the questions beyond the opening; empty where the case was told. `excluded` has for each fault that is
    ruled out by logic the rules that do so.
    """

    verdict: Kind
    certainty: Certainty
    faults: tuple[str, ...]
    share: float
    odds: Mapping[str, float]
    excluded: Mapping[str, tuple[str, ...]]
    asked: tuple[str, ...] = ()


@dataclass(frozen=True)
class Ran:
    """A case that was run both ways; `failings` are sentences, none when it ended as it should.

    An ending is None where the program did not take an answer, or did not come to an end.
    """

    name: str
    told: Ending | None
    played: Ending | None
    failings: tuple[str, ...]


def answer_of(session: Session, answers: Mapping[str, str], question: str) -> Answer:
    """What the case says to a question; anything it does not mention is `unsure`. Raises Unplayable."""
    understood = interpret(session, question, answers.get(question, "unsure"))
    if isinstance(understood, Refused):
        raise Unplayable(f"{question}: {understood.message}")
    return understood.answer


def told(base: Base, case: Case) -> Session:
    """The session in which all answers of a case have been given: circumstances first, readings last."""

    def rank(question: str) -> tuple[int, int]:
        return depth(base, question), base.order[question]

    session = Session(base)
    for question in sorted(case.answers, key=rank):
        session = session.answer(question, answer_of(session, case.answers, question))
    return session


def play(base: Base, case: Case) -> Played:
    """The case played from an empty session to the end."""
    session = Session(base)
    turns: list[Turn] = []
    for _ in range(MOST_STEPS):
        step = session.step
        if not isinstance(step, (Ask, Fill, Warn)):  # the end of the search; what follows is the repair
            return Played(session, tuple(turns))
        before = session
        session = _advance(session, case, step)
        turns.extend(_turns(before, session, step, case))
    raise Unplayable(f"no end after {MOST_STEPS} steps; the last was {session.step}")


def run(base: Base, name: str, case: Case, only_told: bool = False) -> Ran:
    """The case run both ways, or only told, which is much faster."""
    wrong: list[str] = []
    first = second = None
    try:
        session = told(base, case)
        first = ending(session)
        wrong += [f"with all answers given: {one}" for one in failings(case, session)]
        if only_told:
            return Ran(name, first, None, tuple(wrong))
        played = play(base, case)
        second = ending(played.session, played.asked)
        wrong += [f"when played: {one}" for one in failings(case, played.session, played.questions)]
    except Unplayable as exc:
        wrong.append(str(exc))
    return Ran(name, first, second, tuple(wrong))


def ending(session: Session, asked: tuple[str, ...] = ()) -> Ending:
    """Where a session stands."""
    verdict = session.verdict
    odds = {fault: share for fault, share in session.belief.ranking() if share >= FAINT}
    excluded = {
        fault: tuple(dict.fromkeys(firing.rule.id for firing in firings))
        for fault, firings in session.reasoning.exclusions.items()
    }
    return Ending(verdict.kind, verdict.certainty, verdict.faults, verdict.share, odds, excluded, asked)


def failings(case: Case, session: Session, questions: int | None = None) -> list[str]:
    """How the end of a case differs from what it wants; `questions` when it was played and not told at once.

    When played, proved and likely may stand for each other as long as the fault named first is right: the search
    ends when no question is worth its cost, and that may be before or after the proof.
    """
    verdict, found = session.verdict, []
    right = bool(verdict.faults) and verdict.faults[0] in case.faults
    near = questions is not None and right and {verdict.kind, case.verdict} == {"proved", "likely"}
    if verdict.kind != case.verdict and not near:
        found.append(f"ends {verdict.kind}, not {case.verdict}")
    if case.faults and not right:
        found.append(
            f"names {verdict.faults[0] if verdict.faults else 'nothing'} first, not {' or '.join(case.faults)}"
        )
    likely, odds = session.prices.setting(session.base, "likely-share"), dict(session.belief.ranking())
    found.extend(f"believes in {fault} at {odds[fault]:.0%}" for fault in case.never if odds.get(fault, 0) >= likely)
    if questions is not None and case.most and questions > case.most:
        found.append(f"takes {questions} questions, not {case.most} at most")
    return found


def dialogue(name: str, case: Case, played: Played) -> Iterator[str]:
    """The played case step by step, for someone who wants to see why it ends as it does."""
    yield f"{name}: {case.story}"
    number = 0
    for turn in played.turns:
        number += turn.counts
        mark = f"{number:>3}." if turn.counts else " ...."
        again = " (asked again)" if turn.again else ""
        yield f"{mark} {turn.asked or 'caution'}{again}: {turn.said}"
        if not turn.opening:
            suspects = turn.after.belief.ranking()[:4]
            yield "       " + "  ".join(f"{fault} {share:.0%}" for fault, share in suspects)
    yield from _summary(case, played.session, played.questions)


def _advance(session: Session, case: Case, step: Ask | Fill | Warn) -> Session:
    if isinstance(step, Warn):
        return session.acknowledge(step.cautions)
    if isinstance(step, Ask):
        if step.again:
            session = session.recheck(step.question)
        return session.answer(step.question, answer_of(session, case.answers, step.question))
    for item in step.items:
        given = {item: session.base.rest(step.form, item), **case.answers}
        session = session.answer(item, answer_of(session, given, item))
    return session


def _turns(before: Session, after: Session, step: Ask | Fill | Warn, case: Case) -> Iterator[Turn]:
    if isinstance(step, Warn):
        yield Turn("", "read: " + ", ".join(step.cautions), False, False, after)
    elif isinstance(step, Ask):
        answer = after.answers[step.question]
        said = f"{answer.outcome or 'unsure'} ({answer.said})" if answer.reading is not None else answer.outcome
        opening = step.question in before.base.roles.opening
        yield Turn(step.question, said or "unsure", opening, step.again, after)
    else:
        named = [f"{item} {after.answers[item].outcome}" for item in step.items if item in case.answers]
        rest = f"the rest {before.base.forms[step.form].rest or 'as usual'}"
        yield Turn(step.form, ", ".join([*named, rest]), True, False, after)


def _summary(case: Case, session: Session, questions: int) -> Iterator[str]:
    verdict = session.verdict
    faults = ", ".join(verdict.faults)
    yield f"ends: {verdict.kind} ({verdict.certainty}) {faults} {verdict.share:.0%}, after {questions}"
    most = f", at most {case.most} questions" if case.most else ""
    yield f"wanted: {case.verdict} {', '.join(case.faults)}{most}"
    unknown = session.belief.unknown
    yield f"unknown {unknown:.0%}; " + "  ".join(
        f"{fault} {share:.1%}" for fault, share in session.belief.ranking()[:6]
    )
    if verdict.clash:
        yield f"clash: {', '.join(verdict.clash.questions)}; suspect {verdict.clash.suspect}"
    spare = [name for name in case.answers if name not in session.answers]
    if spare:
        yield "never asked: " + ", ".join(spare)
    unheld = [name for name, one in session.answers.items() if one.outcome is None and name not in case.answers]
    if unheld:
        yield "no answer in the case for: " + ", ".join(unheld)
