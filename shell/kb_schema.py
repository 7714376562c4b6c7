"""The command `kb schema`: the JSON Schema of knowledge files, and the line in each file that points to it."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from engine.file_schema import MODELINE, NAME, file_schema, modeline
from engine.loading import APART
from engine.problems import Trouble
from shell.bases import folders
from shell.kb import BENCH
from shell.output import say

_MORE = (
    "Writes the schema to the screen. With --write it goes to schema.json in the folder of the base (of several, the "
    "one laid on top), and every knowledge file there that lacks it gets a first line that points to the schema, so "
    "that an editor with a YAML language server completes and checks as you type."
)


def add_to(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `schema` to the commands of the bench."""
    sub = subparsers.add_parser("schema", help=BENCH["schema"].help, description=_MORE)
    sub.add_argument("--write", action="store_true", help="write schema.json and the lines that point to it")
    sub.set_defaults(func=run)


def run(args: argparse.Namespace) -> int:
    """Run the command; the exit code."""
    if not args.write:
        say(schema_text().rstrip("\n"))
        return 0
    for line in write_to(folders(args)[-1]):
        say(line)
    return 0


def schema_text() -> str:
    """The schema as it is written to a file."""
    return json.dumps(file_schema(), indent=1, ensure_ascii=False) + "\n"


def write_to(folder: Path) -> list[str]:
    """Write the schema into a folder and point its files to it; what was done, line by line. Raises Trouble."""
    own_only(folder)
    schema = folder / NAME
    done = []
    try:
        if not schema.exists() or schema.read_text(encoding="utf-8") != schema_text():
            schema.write_text(schema_text(), encoding="utf-8")
            done.append(f"written: {schema}")
        for path in knowledge_files(folder):
            text = path.read_text(encoding="utf-8")
            if not text.startswith(MODELINE):
                path.write_text(f"{modeline(path, schema)}\n{text}", encoding="utf-8")
                done.append(f"points to it now: {path}")
    except (OSError, UnicodeDecodeError) as exc:
        raise Trouble(f"{folder} cannot be written to: {exc}. Copy it to a folder of yours and use --kb") from exc
    return done or [f"all is as it should be in {folder}"]


def knowledge_files(folder: Path) -> list[Path]:
    """The knowledge files of a folder, tables apart."""
    found = sorted(folder.rglob("*.yaml"))
    return [path for path in found if path.relative_to(folder).parts[0] not in APART and not path.is_symlink()]


def own_only(folder: Path) -> None:
    """Raises Trouble when the folder is not there, or belongs to the installed program."""
    if not folder.is_dir():
        raise Trouble(f"{folder}: there is no such folder. Make it first, or mend the path")
    if {"site-packages", "dist-packages"} & set(folder.resolve().parts):
        raise Trouble("The installed rule base is not written to. Name a folder of your own with --kb-add, before `kb`")
