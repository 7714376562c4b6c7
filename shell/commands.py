"""What a typed line means at a prompt: things done, something to show, leaving, or why it cannot be used."""

from __future__ import annotations

from dataclasses import replace

from engine import never
from engine.answers import Refused, interpret, resorted
from engine.events import Acknowledged, Amended, Answered, Declined, PutOff, Rechecked, Remarked, Turned
from engine.session import Answer, Ask, End, Fill, Session, Step, Warn
from engine.steps import Cured
from engine.turning import unexplained
from engine.wording import title
from shell import figures_of_own, mend_words, vehicle_words
from shell.form_line import fill_in
from shell.meanings import Do, Look, Meaning, Park
from shell.names import Refusal, listed, pick
from shell.output import clean

__all__ = ["COMMANDS", "Do", "Look", "Meaning", "Park", "at_the_end", "understand"]

# Command, what follows it, and what it is for: the help and the completion are made of this.
COMMANDS: dict[str, tuple[str, str]] = {
    "why": ("[QUESTION]", "why this is asked, and what each answer would change"),
    "trace": ("", "the reasoning so far, rule by rule"),
    "doubt": ("FAULT", "what speaks for and against a fault"),
    "suppose": ("ANSWER", "what would follow from an answer, without giving it"),
    "amend": ("QUESTION", "take back an earlier answer and be asked again"),
    "unsure": ("", "answer: I cannot tell"),
    "later": ("", "I cannot do that now; go on with something else"),
    "turn": ("", "turn to the other complaint you told of, or back to the first"),
    "standing": ("", "the suspects and their odds"),
    "spend": ("", "minutes and money, so far and ahead"),
    "price": ("WHAT FIGURE", "your own price of a part, or of an hour"),
    "minutes": ("WHAT FIGURE", "your own minutes to get at something"),
    **mend_words.COMMANDS,
    "remark": ("TEXT", "keep a note with the job"),
    "help": ("[WORD]", "what you can type, or what a word means"),
    "park": ("", "leave; nothing is lost"),
}
_LEAVING = ("quit", "exit", "bye", "q", "stop")
_BACK = ("back", "undo", "no wait")
_BARE = frozenset(name for name, (after, _) in COMMANDS.items() if not after) - {"unsure"}


def understand(session: Session, step: Step, line: str) -> Meaning:
    """The meaning of a line typed at a step. Never raises, whatever was typed."""
    said = clean(line).replace("\n", " ").strip()
    first, _, rest = said.partition(" ")
    word, rest = first.casefold(), rest.strip()
    if isinstance(step, Ask) and said.casefold() in COMMANDS:
        outcomes = list(session.base.questions[step.question].outcomes)
        if word in outcomes:
            number = outcomes.index(word) + 1
            return Refusal(
                f"`{word}` is an answer here and a command. Say {number} for the answer, or `unsure` to go on"
            )
    if word in _BARE and rest:
        return Refusal(f"`{word}` stands alone; leave out what follows it")
    if word in mend_words.COMMANDS:
        return mend_words.command(session, step, word, rest)
    if word in COMMANDS and word != "unsure":
        return _command(session, step, word, rest)
    return _answer(session, step, said)


def _command(session: Session, step: Step, word: str, rest: str) -> Meaning:
    match word:
        case "trace" | "standing" | "spend":
            return Look(word)
        case "park":
            return Park()
        case "later":
            return _later(session, step)
        case "remark":
            return Do((Remarked(rest),)) if rest else Refusal("Say the remark after it, as in `remark loom looks new`")
        case "turn":
            return _turn(session, step)
        case "amend" | "doubt" | "why":
            return {"amend": _amend, "doubt": _doubt, "why": _why}[word](session, rest)
        case "suppose":
            meant = _answer(session, step, rest)
            return Look("suppose", rest, meant.events) if isinstance(meant, Do) else meant
        case "price" | "minutes":
            event = figures_of_own.read(session, word, rest)
            return event if isinstance(event, Refusal) else Do((vehicle_words.of_vehicle(session, event),))
    return Look("help", rest)


def _turn(session: Session, step: Step) -> Meaning:
    if not _has_other(session):
        return Refusal("You told of one complaint only. For another, say `close` and begin a new job")
    if not isinstance(step, End | Cured) and session.waiting is None:
        return Refusal("First things first: the other complaint comes when this search has ended")
    return Do((Turned(),))


def _later(session: Session, step: Step) -> Meaning:
    match step:
        case Ask(question=question, again=True):
            return Do((Rechecked(question), PutOff(question)))
        case Ask(question=question) | Warn(question=question):
            return Do((PutOff(question),))
        case Fill(items=items):
            return Do(tuple(PutOff(item) for item in items))
        case End():
            return Refusal("Nothing is being asked that could wait")
    return mend_words.later(session, step)


def _amend(session: Session, rest: str) -> Meaning:
    open_again = {name: title(session, name) for name in (*session.answers, *sorted(session.later))}
    if not open_again:
        return Refusal("There is no answer yet that could be taken back")
    if not rest:
        return Refusal(f"Say which answer: amend {listed(open_again)}")
    found = pick(rest, open_again, "a question that you have answered")
    return Do((Amended(found),)) if isinstance(found, str) else found


def _doubt(session: Session, rest: str) -> Meaning:
    names = {name: session.base.faults[name].name for name in session.circuit.faults}
    if not names:
        return Refusal("There are no suspects before the kind of lamp is known")
    if not rest:
        leading = [name for name, _ in session.belief.ranking()]
        return Refusal(f"Say which fault: doubt {listed(leading)}")
    found = pick(rest, names, "a fault of this lamp")
    return Look("doubt", found) if isinstance(found, str) else found


def _why(session: Session, rest: str) -> Meaning:
    if not rest:
        return Look("why")
    forbidden = never.refusal(session.base, rest)
    if forbidden:
        return Refusal(forbidden)
    names = {name: title(session, name) for name in session.base.questions}
    found = pick(rest, names, "a question")
    return Look("why", found) if isinstance(found, str) else found


def _answer(session: Session, step: Step, said: str) -> Meaning:
    word = said.casefold()
    if word in _LEAVING:
        return Refusal("To leave, say `park`; nothing is lost")
    if word in _BACK:
        return Refusal("To change an answer, say `amend` and the question; `amend` alone lists them")
    match step:
        case Ask():
            return _to_question(session, step, said)
        case Fill():
            filled = fill_in(session, step, said)
            if isinstance(filled, Refusal):
                return filled
            return Do(tuple(_answered(name, answer) for name, answer in filled.items()))
        case Warn():
            return _to_warning(step, word)
        case End():
            return Refusal(f'"{said[:40]}" is nothing to say here. The search has ended: {at_the_end(session)}')
    return mend_words.answer(session, step, said)


_AT_THE_END = (
    "mend",
    "buy",
    "trace",
    "doubt FAULT",
    "standing",
    "spend",
    "amend QUESTION",
    "remark TEXT",
    "help",
    "park",
)


def at_the_end(session: Session) -> str:
    """What can be said when the search has ended."""
    return ", ".join(("turn", *_AT_THE_END) if _has_other(session) else _AT_THE_END)


def _has_other(session: Session) -> bool:
    return session.waiting is not None or session.second is not None or unexplained(session) is not None


def _to_warning(step: Warn, word: str) -> Meaning:
    if word == "understood":
        return Do((Acknowledged(step.cautions),))
    if word == "decline":
        return Do((Declined(step.cautions),))
    return Refusal("Type `understood` to go on, `decline` to leave out tests with this danger, or `later`")


def _to_question(session: Session, step: Ask, said: str) -> Meaning:
    bare, hidden = _while_hidden(said)
    found = interpret(session, step.question, bare)
    if isinstance(found, Refused):
        return Refusal(found.message)
    again = (Rechecked(step.question),) if step.again else ()
    answer = replace(found.answer, hidden=hidden)
    others = resorted(session.answer(step.question, answer), step.question)
    told = (_answered(name, one) for name, one in ((step.question, answer), *others))
    return Do((*again, *told), found.ask_back)


def _while_hidden(said: str) -> tuple[str, bool | None]:
    """The answer, and whether it was said of a time when the fault was out of sight."""
    words = said.split()
    if len(words) > 2 and words[-2].casefold() == "while" and words[-1].casefold() in ("hidden", "showing"):
        return " ".join(words[:-2]), words[-1].casefold() == "hidden"
    return said, None


def _answered(question: str, answer: Answer) -> Answered:
    return Answered(question, answer.outcome, answer.said, answer.reading, answer.working, answer.hidden)
