"""An entry with words in angle brackets is still a draft.

`kb new` writes entries whose wordings are placeholders such as `<the fault in a few words>`. The base loads with them,
so that the work can be tried step by step, but nobody at a car should read one. Until they are gone, no other doubt is
raised about the entry.

Likely mend: write the words, brackets and all replaced.

Fails:

    faults:
      fuse-open:
        name: <the fault in a few words>
        says: It has melted.
        node: beam-fuse
        mode: open
        repair: fit-fuse

Passes:

    faults:
      fuse-open:
        name: blown fuse
        says: It has melted.
        node: beam-fuse
        mode: open
        repair: fit-fuse
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from pydantic import BaseModel

from engine.audit.survey import ADVICE, Survey
from engine.problems import Place, Problem
from engine.schema import SECTIONS
from engine.yamltree import Mapping, Scalar, Tree

CODE = "drafts"
RAW = True
_BLANK = re.compile(r"<[a-z][^<>]*>")


def check(survey: Survey) -> Iterator[Problem]:
    """Entries with placeholders left in them."""
    for section, name in drafts(survey):
        blanks = _blanks(getattr(survey.base, section)[name])
        message = f'"{name}" is a draft: still to write ({len(blanks)}): {blanks[0]}'
        yield Problem(survey.base.place(section, name), ADVICE, CODE, message)


def drafts(survey: Survey) -> Iterator[tuple[str, str]]:
    """The section and id of every entry that is a draft."""
    for section in SECTIONS:
        for name, entry in getattr(survey.base, section).items():
            if _blanks(entry):
                yield section, name


def lines(survey: Survey) -> frozenset[tuple[str, int]]:
    """The file and number of every line on which a draft has something written."""
    found = {survey.base.place(section, name) for section, name in drafts(survey)}
    for key in drafts(survey):
        found.update(_places(survey.trees[key]))
    return frozenset((place.file, place.line) for place in found)


def _places(tree: Tree) -> Iterator[Place]:
    yield tree.place
    if isinstance(tree, Mapping):
        yield from tree.keys.values()
    if not isinstance(tree, Scalar):
        for inner in tree.items.values() if isinstance(tree, Mapping) else tree.items:
            yield from _places(inner)


def _blanks(entry: BaseModel | str) -> list[str]:
    text = entry if isinstance(entry, str) else entry.model_dump_json()
    return _BLANK.findall(text)
