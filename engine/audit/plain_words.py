"""Words that a person at the car may not know need an entry in `terms`.

Three things are looked for: abbreviations in capitals, words of five syllables and more, and an id of the base used
as if it were a word. Units, and stamps such as H7 or D2S, are understood.

Likely mend: say it in plain words, or add the word to `terms`.

Fails:

    rules:
      open-fuse:
        when: {fuse-look: open}
        proves: fuse-open
        because: The ECU sees no current.
        source: common-practice

Passes:

    rules:
      open-fuse:
        when: {fuse-look: open}
        proves: fuse-open
        because: The fuse lets no current pass.
        source: common-practice
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from engine.audit.survey import ADVICE, Survey
from engine.audit.texts import texts
from engine.physics import units
from engine.problems import Problem

CODE = "plain-words"
RAW = True
SYLLABLES = 5
EVERYDAY = frozenset({"electricity"})  # long, but nobody's jargon
_WORD = re.compile(r"[A-Za-z][A-Za-z0-9]*(?:-[A-Za-z0-9]+)*")
_SOUND = re.compile(r"[aeiouy]+")


def check(survey: Survey) -> Iterator[Problem]:
    """Words without a meaning given."""
    explained = {part for term in survey.base.terms for part in (term, *term.split("-"))}
    ids = {name for section in ("questions", "faults", "rules", "nodes", "repairs") for name in _ids(survey, section)}
    every = list(texts(survey))
    written = {word for text in every for word in _WORD.findall(text.words) if word.islower()}
    for text in every:
        for word in dict.fromkeys(_WORD.findall(text.words)):
            why = _why(word, explained, ids) if word.lower() not in written or word.islower() else ""
            if why:
                message = f'"{word}" {why}; say it in plain words, or add it to `terms`'
                yield Problem(text.place(survey), ADVICE, CODE, message)


def _ids(survey: Survey, section: str) -> Iterator[str]:
    return (name for name in getattr(survey.base, section) if "-" in name)


def _why(word: str, explained: set[str], ids: set[str]) -> str:
    """What is wrong with a word, if anything; one that is elsewhere written small is capital for stress only."""
    plain = word.lower()
    if plain in explained or plain.removesuffix("s") in explained or word in units.UNITS:
        return ""
    if word in ids and word.count("-") > 1:
        return "is an id of the base, not a word"
    if len(word) > 1 and word.isalpha() and word.isupper():
        return "is an abbreviation without a meaning given"
    if "-" not in word and plain not in EVERYDAY and len(_SOUND.findall(plain.removesuffix("e"))) >= SYLLABLES:
        return "is a long word without a meaning given"
    return ""
