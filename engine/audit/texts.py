"""Every sentence of a knowledge base that a person gets to read, and where it stands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from engine.audit.survey import Survey
from engine.problems import Place

SECTIONS = (
    "questions", "forms", "nodes", "faults", "technologies", "rules", "repairs", "cautions", "causes", "access",
    "tools",
)  # fmt: skip
SENTENCES = frozenset(
    {"say", "says", "ask", "do", "trap", "because", "steps", "proof", "pair", "never", "look", "mend"}
)
LABELS = frozenset({"title", "name", "ask_for"})


class Text(NamedTuple):
    """A text, the entry it belongs to and the path to it there; `label` says that it is a name, not a sentence."""

    section: str
    entry: str
    path: tuple[int | str, ...]
    words: str
    label: bool

    def place(self, survey: Survey) -> Place:
        """Where it stands."""
        return survey.at(self.section, self.entry, *self.path)


def texts(survey: Survey) -> Iterator[Text]:
    """All texts, in the order of the sections and entries; those of cases are for trainers and not among them."""
    for section in SECTIONS:
        for name, entry in getattr(survey.base, section).items():
            for path, words in _inside(entry.model_dump(), ()):
                yield Text(section, name, path, words, path[-1] in LABELS)
    for name, words in survey.base.terms.items():
        yield Text("terms", name, (), words, False)


def _inside(value: object, path: tuple[int | str, ...]) -> Iterator[tuple[tuple[int | str, ...], str]]:
    if isinstance(value, str):
        if SENTENCES.union(LABELS).intersection(map(str, path[-2:])):
            yield path, value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _inside(inner, (*path, key))
    elif isinstance(value, tuple):
        for index, inner in enumerate(value):
            yield from _inside(inner, (*path, index))
