"""The examples on the manual pages are run: the failing one raises its code, the passing one raises nothing."""

from __future__ import annotations

import inspect

import pytest

from engine.audit.inspection import inspect as inspect_base
from engine.audit.registry import BY_CODE
from engine.loading import Reader
from engine.problems import Problem
from engine.yamltree import read_text
from tests.audit.example import TEXT

HERE = "example.yaml"


def examples(code: str) -> tuple[str, str]:
    """The failing and the passing example of a manual page."""
    page = inspect.cleandoc(BY_CODE[code].__doc__ or "")
    failing, _, passing = page.partition("Fails:\n")[2].partition("Passes:\n")
    return inspect.cleandoc("\n" + failing), inspect.cleandoc("\n" + passing)


def problems(text: str) -> list[Problem]:
    """What is said of a text laid over the clean base, and of nothing else."""
    reader = Reader()
    reader.add(read_text(TEXT, "base.yaml"), 0)
    reader.add(read_text(text, HERE), 1)
    return list(inspect_base(reader, {HERE: text}).problems)


def test_the_base_under_the_examples_is_clean() -> None:
    """What an example is laid over raises nothing by itself."""
    assert problems("") == []


@pytest.mark.parametrize("code", BY_CODE)
def test_the_failing_example_raises_its_code(code: str) -> None:
    """Each check finds what its page says it finds, in a base that is clean without the example."""
    failing, _ = examples(code)
    found = problems(failing)
    assert code in {problem.code for problem in found}, found


@pytest.mark.parametrize("code", BY_CODE)
def test_the_passing_example_raises_nothing(code: str) -> None:
    """Each page's mended example is clean under every check."""
    _, passing = examples(code)
    assert passing
    assert [problem for problem in problems(passing) if problem.place.file == HERE] == []
