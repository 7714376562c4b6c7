"""The command `kb new`: writes the draft of an entry into a file of one's own."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from engine import yamltree
from engine.base import Base
from engine.file_schema import NAME, modeline
from engine.problems import KnowledgeError, Trouble
from engine.scaffold import SECTION, draft
from engine.schema import ID_PATTERN
from shell.bases import base_of
from shell.kb import BENCH
from shell.kb_schema import own_only, schema_text
from shell.output import say

_MORE = (
    "The draft goes to FILE, or to SECTION/NAME.yaml in the folder given with --kb-add (or --kb) before `kb`. It "
    "passes the check as a draft: it loads and does no harm until its words in angle brackets are written."
)
_LONGEST = 60


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `new` to the commands of the bench."""
    sub = subparsers.add_parser("new", help=BENCH["new"].help, description=_MORE)
    sub.add_argument("kind", choices=tuple(SECTION), help="what to draft")
    sub.add_argument("name", metavar="NAME", help="its id: small letters, digits and hyphens, as in cut-wire-seen")
    sub.add_argument("--in", dest="into", metavar="FILE", type=Path, help="write it into this file, new or not")
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    base = base_of(args)
    section = SECTION[args.kind]
    _check_name(base, section, args.name)
    file, folder = _target(args, section)
    own_only(folder)
    if file.suffix != ".yaml":
        raise Trouble(f"{file}: knowledge files end in .yaml")
    try:
        before = file.read_text(encoding="utf-8") if file.exists() else ""
        text = _with_entry(before, section, draft(base, args.kind, args.name), file)
        _write(folder / NAME, schema_text(), only_if_missing=True)
        head = "" if before else f"{modeline(file, folder / NAME)}\n# <what this file holds>\n"
        _write(file, head + text)
    except (OSError, UnicodeDecodeError) as exc:
        raise Trouble(f"{file} cannot be written: {exc}") from exc
    place = yamltree.key_place(yamltree.read_file(file), (section, args.name))
    say(f"Draft written: {place}")
    say(f"Write what stands in angle brackets, then: lampwright {_options(args)}kb check {file}")
    return 0


def _check_name(base: Base, section: str, name: str) -> None:
    if not ID_PATTERN.fullmatch(name) or len(name) > _LONGEST:
        raise Trouble(f'"{name}" cannot be an id. Use small letters, digits and hyphens, as in cut-wire-seen')
    if name in getattr(base, section):
        at = base.place(section, name)
        raise Trouble(f'{section} has "{name}" already, at {at}. Choose another id, or change it there')


def _target(args: argparse.Namespace, section: str) -> tuple[Path, Path]:
    """The file to write, and the folder of knowledge that it is in."""
    own = args.layers[-1] if args.layers else args.base
    if args.into is not None:
        inside = own is not None and args.into.resolve().is_relative_to(Path(own).resolve())
        return args.into, Path(own) if inside else args.into.parent
    if own is None:
        raise Trouble(
            "Say where: lampwright --kb-add DIR kb new KIND NAME, with DIR a folder of yours, or add --in FILE"
        )
    return Path(own) / section / f"{args.name}.yaml", Path(own)


def _with_entry(text: str, section: str, entry: str, file: Path) -> str:
    """The text with the entry put at the end of its section, the rest untouched. Raises Trouble."""
    try:
        tree = yamltree.read_text(text, str(file))
    except KnowledgeError as exc:
        raise Trouble(f"Mend this file first:\n{exc}") from exc
    if section not in tree.items:
        gap = "\n" if text and not text.endswith("\n") else ""
        return f"{text}{gap}{section}:\n{entry}"
    lines = text.splitlines()
    body = tree.items[section]
    if not isinstance(body, yamltree.Mapping) or body.place.line == tree.keys[section].line or body.place.column != 3:
        raise Trouble(f"{tree.keys[section]}: `{section}:` is not indented by two spaces, so nothing was added")
    later = [place.line for place in tree.keys.values() if place.line > tree.keys[section].line]
    end = min(later, default=len(lines) + 1) - 1
    while end and (not lines[end - 1].strip() or lines[end - 1].startswith("#")):
        end -= 1  # blank lines, and remarks at the margin, belong to what follows
    return "\n".join([*lines[:end], entry.rstrip("\n"), *lines[end:]]) + "\n"


def _write(file: Path, text: str, only_if_missing: bool = False) -> None:
    if only_if_missing and file.exists():
        return
    file.parent.mkdir(parents=True, exist_ok=True)
    fresh = file.with_name(file.name + ".new")
    fresh.write_text(text, encoding="utf-8")
    os.replace(fresh, file)  # whole or not at all


def _options(args: argparse.Namespace) -> str:
    given = [("--kb", args.base)] if args.base else []
    given += [("--kb-add", layer) for layer in args.layers]
    return "".join(f"{option} {value} " for option, value in given)
