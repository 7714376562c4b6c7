"""The schema of knowledge files: draft-07, as strict and as lenient as the loader, and the same as the one kept."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

import kb
from engine.file_schema import DRAFT, MODELINE, NAME, file_schema
from shell.kb_schema import knowledge_files, schema_text
from shell.main import main
from tests.audit.broken import BROKEN

SHIPPED = Path(kb.__file__).parent
IN_THE_SCHEMA = ("unknown section", "unknown key", "missing reason", "missing source", "bad id", "unknown strength",
                 "wrong number")  # fmt: skip


class Core(yaml.SafeLoader):
    """Reads YAML as editors do, by the core schema of YAML 1.2, where `no` and `off` are words."""


Core.yaml_implicit_resolvers = {}
for tag, shape, first in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789"),
    ("null", r"~|null|", ["~", "n", ""]),
):
    Core.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{shape})$"), list(first))


@cache
def validator() -> jsonschema.Draft7Validator:
    """A validator of the schema."""
    return jsonschema.Draft7Validator(file_schema())


def read(text: str) -> Any:
    """A text as an editor reads it."""
    return yaml.load(text, Core)  # a subclass of the safe loader


def shipped() -> list[Path]:
    """The shipped knowledge files."""
    return knowledge_files(SHIPPED)


def test_the_schema_is_sound_draft_07() -> None:
    """It obeys the meta-schema of draft-07 and holds nothing of later drafts."""
    jsonschema.Draft7Validator.check_schema(file_schema())
    assert file_schema()["$schema"] == DRAFT
    assert not {"$defs", "prefixItems"} & set(re.findall(r'"([^"]+)":', schema_text()))


@pytest.mark.parametrize("path", shipped(), ids=lambda path: path.relative_to(SHIPPED).as_posix())
def test_shipped_files_are_valid_in_an_editor(path: Path) -> None:
    """What the loader takes, the editor does not underline."""
    errors = [
        f"{list(one.absolute_path)}: {one.message}" for one in validator().iter_errors(read(path.read_text("utf-8")))
    ]
    assert errors == []


@pytest.mark.parametrize("broken", [one for one in BROKEN if one.name in IN_THE_SCHEMA], ids=lambda one: one.name)
def test_what_breaks_the_form_is_underlined(broken: Any) -> None:
    """Mistakes of form that the loader reports are seen by the editor too."""
    assert not validator().is_valid(read(broken.text))


def test_every_key_says_what_it_is() -> None:
    """An editor shows a description for every key of every kind of entry."""
    definitions = file_schema()["definitions"]
    silent = [
        f"{kind}.{key}"
        for kind, model in definitions.items()
        for key, value in model.get("properties", {}).items()
        if not value.get("description")
    ]
    assert silent == [] and all(section.get("description") for section in file_schema()["properties"].values())


def test_the_schema_that_is_kept_is_the_one_that_is_made() -> None:
    """After a change of the model: lampwright kb schema --write."""
    assert (SHIPPED / NAME).read_text(encoding="utf-8") == schema_text()


@pytest.mark.parametrize("path", shipped(), ids=lambda path: path.relative_to(SHIPPED).as_posix())
def test_shipped_files_point_to_the_schema(path: Path) -> None:
    """The first line names the schema by a path that leads there: lampwright kb schema --write."""
    first = path.read_text(encoding="utf-8").partition("\n")[0]
    assert first.startswith(MODELINE)
    assert (path.parent / first.removeprefix(MODELINE)).resolve() == (SHIPPED / NAME).resolve()


def test_the_command_prints_the_schema(capsys: pytest.CaptureFixture[str]) -> None:
    """Without an option it goes to the screen."""
    assert main(["kb", "schema"]) == 0
    assert json.loads(capsys.readouterr().out) == file_schema()


def test_writing_is_done_once(base_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Schema and first lines are written where they lack, below the text nothing changes, and again changes nothing."""
    (base_folder / "deep").mkdir()
    (base_folder / "deep" / "more.yaml").write_text("# remark\nterms: {odd: Strange.}\n", encoding="utf-8")
    assert main(["--kb", "base", "kb", "schema", "--write"]) == 0
    text = (base_folder / "deep" / "more.yaml").read_text(encoding="utf-8")
    assert text == f"{MODELINE}../schema.json\n# remark\nterms: {{odd: Strange.}}\n"
    assert (base_folder / NAME).read_text(encoding="utf-8") == schema_text()
    capsys.readouterr()
    assert main(["--kb", "base", "kb", "schema", "--write"]) == 0
    assert "all is as it should be" in capsys.readouterr().out
    assert (base_folder / "deep" / "more.yaml").read_text(encoding="utf-8") == text


def test_the_installed_base_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is written below site-packages."""
    folder = tmp_path / "site-packages" / "kb"
    folder.mkdir(parents=True)
    assert main(["--kb", str(folder), "kb", "schema", "--write"]) == 2
    assert list(folder.iterdir()) == [] and "folder of your own" in capsys.readouterr().err
