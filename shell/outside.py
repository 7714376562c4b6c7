"""Counts the tests that check something against a source outside the project, where there is a checkout to look in."""

from __future__ import annotations

import ast
from pathlib import Path

import shell

MARK = "outside"


def outside_checks() -> int | None:
    """The number of tests marked `outside`; None where the tests do not lie beside the program."""
    tests = Path(shell.__file__).parents[1] / "tests"
    if not tests.is_dir():
        return None
    return sum(_marked(path) for path in tests.rglob("test_*.py"))


def _marked(path: Path) -> int:
    try:
        tree = ast.parse(path.read_text(encoding="utf-8"))
    except (OSError, SyntaxError, UnicodeDecodeError):
        return 0
    whole = any(
        isinstance(node, ast.Assign) and _names(node.targets) == ["pytestmark"] and _has_mark(node.value)
        for node in tree.body
    )
    tests = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")]
    return sum(whole or any(map(_has_mark, test.decorator_list)) for test in tests)


def _names(targets: list[ast.expr]) -> list[str]:
    return [target.id for target in targets if isinstance(target, ast.Name)]


def _has_mark(node: ast.expr) -> bool:
    return any(isinstance(one, ast.Attribute) and one.attr == MARK for one in ast.walk(node))
