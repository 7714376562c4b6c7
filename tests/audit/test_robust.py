"""Whatever a trainer types, the check reports it or passes it; it never breaks down."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import yaml
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from engine.audit.inspection import inspect
from engine.loading import Reader
from engine.yamltree import read_text
from tests.audit.example import TEXT

CLEAN = yaml.load(TEXT, yaml.BaseLoader)
ODD = ("", "any", "light", "path", "yes", "12", "-1", "1e999", "{hand}", "<write this>", "a b", [], {}, ["a", "a"])


def spots(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every place in a tree: what holds it, and its key or index there."""
    for key in list(value) if isinstance(value, dict) else range(len(value)):
        yield value, key
        if isinstance(value[key], (dict, list)):
            yield from spots(value[key])


def words(value: Any) -> set[str]:
    """Every word of a tree, keys too."""
    if isinstance(value, dict):
        return set(value).union(*map(words, value.values()))
    return set().union(*map(words, value)) if isinstance(value, list) else {str(value)}


KNOWN = sorted(words(CLEAN))
SECTIONS = [section for section in CLEAN if section != "settings"]  # each of these is needed, and the loader says so


@st.composite
def spoilt(draw: st.DrawFn) -> str:
    """The example base with a few values changed for others of it or odd ones, taken out, or said under another key."""
    tree = copy.deepcopy(CLEAN)
    for _ in range(draw(st.integers(1, 3))):
        section = draw(st.sampled_from(SECTIONS))
        holder, key = draw(st.sampled_from(list(spots(tree[section])) or [([""], 0)]))  # nothing is left to spoil
        how = draw(st.sampled_from(("other", "other", "other", "odd", "gone", "renamed")))
        if how == "other":
            holder[key] = draw(st.sampled_from(KNOWN))
        elif how == "odd":
            holder[key] = copy.deepcopy(draw(st.sampled_from(ODD)))
        else:
            value = holder.pop(key)
            if how == "renamed" and isinstance(holder, dict):
                holder[draw(st.sampled_from(KNOWN))] = value
    return yaml.safe_dump(tree, sort_keys=False)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(spoilt())
def test_a_spoilt_base_is_looked_over_without_a_traceback(text: str) -> None:
    """Problems come sorted, each with a line of the file; a base that does not load has an error, and so says why."""
    reader = Reader()
    reader.add(read_text(text, "base.yaml"))
    found = inspect(reader, {"base.yaml": text})
    event("loads" if found.loads else "does not load")
    assert list(found.problems) == sorted(found.problems)
    assert found.loads or any(problem.severity == "error" for problem in found.problems)
    last = len(text.splitlines()) + 1
    assert all(problem.place.line <= last for problem in found.problems if problem.place.file == "base.yaml")
