"""The manual page of every code: of a check its docstring, of what the loader reports a few lines here."""

from __future__ import annotations

import inspect

from engine.audit import allowances
from engine.audit.registry import BY_CODE

VALUE = "A value is of the wrong kind or size. The message says what belongs there."
VALUES = (
    "bool-parsing", "bool-type", "dict-type", "finite-number", "float-parsing", "float-type", "greater-than",
    "greater-than-equal", "int-parsing", "less-than", "less-than-equal", "literal-error", "model-type",
    "string-pattern-mismatch", "string-too-long", "string-too-short", "string-type", "too-long", "too-short",
    "tuple-type",
)  # fmt: skip
LOADING = {
    "no-folder": "The folder of knowledge files is not there. Mend the path after `--kb` or `--kb-add`.",
    "outside": "A file leads out of its folder by a link. Copy the file in, so that the base is whole in one place.",
    "too-large": "A file is too large to be a file of rules. Split it by theme.",
    "unreadable": "The file cannot be opened. Look at its permissions.",
    "not-text": "The file is not UTF-8 text. Save it as UTF-8.",
    "not-yaml": "The line breaks the form of YAML. Look at the indent, the colons and the quotes just before it.",
    "not-a-mapping": "Sections hold entries, and entries hold `key: value` lines, each a step further in.",
    "two-documents": "A `---` starts a second document. Take it out; one document a file.",
    "key-not-text": "A key must be a word, not a list or a mapping. Look for a stray `?`, `[` or `{`.",
    "duplicate-key": "The same key stands twice in one entry, and only one could count. Keep one.",
    "anchor": "Anchors, aliases and tags hide where a value comes from. Write the value out.",
    "too-deep": "The entry is nested too deep to be right. Look at the indent.",
    "unknown-section": "There is no section of this name. Take the nearest one that the message names.",
    "duplicate-id": "An id is used once in its section, over all files of one folder. Rename one of the two.",
    "bad-id": "An id has small letters, digits, hyphens and dots, as in `broken-filament`.",
    "missing-key": "The entry lacks a key that it needs: a rule its reason or source, an outcome its words. Write it.",
    "unknown-key": "The entry has no such key. Take the nearest one that the message names.",
    "unknown-name": "The word names something that is declared nowhere. Mend the spelling, or declare it.",
    "missing-setting": "The program counts with a figure that no file sets. Take it from the shipped base.",
    "no-roles": "The base lacks the section `roles`. Take it from the shipped base.",
    allowances.UNUSED: "A remark allows a doubt that is not raised on its line. Take it out, or move it to the line.",
    allowances.UNCLEAR: "Write `# kb: allow CODE - reason` at the end of the line: the code of a check, and a reason.",
}


def page(code: str) -> str:
    """The manual page of a code. Raises KeyError when there is no such code."""
    check = BY_CODE.get(code)
    if check is not None:
        return f"{code}\n\n{inspect.cleandoc(check.__doc__ or '')}"
    if code in LOADING:
        return f"{code}\n\n{LOADING[code]}"
    if code in VALUES:
        return f"{code}\n\n{VALUE}"
    raise KeyError(code)


def codes() -> dict[str, str]:
    """Every code and the first line of its page."""
    checks = {code: inspect.cleandoc(check.__doc__ or "").splitlines()[0] for code, check in BY_CODE.items()}
    loading = {code: _first_sentence(text) for code, text in LOADING.items()}
    return checks | loading | dict.fromkeys(VALUES, _first_sentence(VALUE))


def _first_sentence(text: str) -> str:
    return text.partition(". ")[0].rstrip(".") + "."
