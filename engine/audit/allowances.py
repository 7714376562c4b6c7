"""Remarks in knowledge files that allow a doubt: `# kb: allow CODE - reason` at the end of the line it is raised for.

A reason is needed, and a remark that allows nothing is itself a problem, so that none outlives its cause.
What keeps a base from loading cannot be allowed.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import NamedTuple

from engine.problems import Place, Problem, nearest

UNUSED, UNCLEAR = "allow-unused", "allow-unclear"
_REMARK = re.compile(r"(?:^|\s)#\s*kb:\s*(?P<said>.*)$")
_ALLOW = re.compile(r"allow\s+(?P<codes>[a-z-]+(?:\s*,\s*[a-z-]+)*)\s+[-–—]\s+(?P<reason>\S.*)")


class Allowance(NamedTuple):
    """A remark that allows a code on its line."""

    place: Place
    code: str


def read(files: Mapping[str, str], codes: Collection[str]) -> tuple[list[Allowance], list[Problem]]:
    """The allowances in the text of files, and what is wrong with them."""
    found: list[Allowance] = []
    problems: list[Problem] = []
    for file, text in files.items():
        for number, line in enumerate(text.splitlines(), 1):
            remark = _REMARK.search(line) if "kb:" in line else None
            if remark is None:
                continue
            place = Place(file, number, line.index("#", remark.start()) + 1)
            allow = _ALLOW.fullmatch(remark["said"].strip())
            if allow is None:
                message = "write `# kb: allow CODE - reason`; the reason says why the doubt does not hold here"
                problems.append(Problem(place, "error", UNCLEAR, message))
                continue
            for code in re.split(r"\s*,\s*", allow["codes"]):
                if code in codes:
                    found.append(Allowance(place, code))
                else:
                    message = f'there is no check "{code}"{nearest(code, codes)}'
                    problems.append(Problem(place, "error", UNCLEAR, message))
    return found, problems


def apply(problems: Iterable[Problem], allowances: Iterable[Allowance]) -> Iterator[Problem]:
    """The problems that are not allowed, and one for each allowance that allows nothing."""
    wanted = {(one.place.file, one.place.line, one.code): one for one in allowances}
    unused = dict(wanted)
    for problem in problems:
        key = (problem.place.file, problem.place.line, problem.code)
        unused.pop(key, None)
        if key not in wanted:
            yield problem
    for one in unused.values():
        message = f"nothing on this line needs `{one.code}` allowed; take the remark out"
        yield Problem(one.place, "warning", UNUSED, message)
