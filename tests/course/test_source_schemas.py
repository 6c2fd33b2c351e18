"""The schemas that editors complete by: current, true of every source, and as strict as the reader."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from warmyard.cli.schema import as_text
from warmyard.course.source_schemas import ENDING, FILES, kind_of, schemas
from warmyard.course.workspace import read_workspace
from warmyard.errors import SourceErrors
from warmyard.sources import parse_document, read_document

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "course" / "schemas"
SCHEMAS = schemas()


def sources_of(kind: str, root: Path) -> list[Path]:
    """Return the files of one kind in a workspace."""
    found = [path for pattern in FILES[kind].files for path in sorted(root.glob(pattern))]
    return [path for path in found if kind_of(path.relative_to(root).as_posix()) == kind]


def value_of(path: Path) -> Any:
    """Return what a source holds as plain values: a YAML file, or the front matter of a page."""
    if path.suffix == ".md":
        return parse_document(path.read_text(encoding="utf-8").split("---\n")[1], path.name).value
    return read_document(path, ROOT).value


def complaints(kind: str, value: Any) -> list[str]:
    """Return what the schema of a kind has against a value."""
    return [problem.message for problem in Draft202012Validator(SCHEMAS[kind]).iter_errors(value)]


def test_the_schemas_of_the_checkout_are_current() -> None:
    """course/schemas holds what `warmyard schema --out course/schemas` writes, and nothing else."""
    assert {path.name for path in FOLDER.iterdir()} == {name + ENDING for name in SCHEMAS}
    for name, schema in SCHEMAS.items():
        assert (FOLDER / (name + ENDING)).read_text(encoding="utf-8") == as_text(schema), name


@pytest.mark.parametrize("kind", SCHEMAS)
def test_a_schema_is_one_and_every_source_of_its_kind_fits(kind: str) -> None:
    """The schema is sound by the standard's own, and no source of the checkout or of the small yard offends it."""
    Draft202012Validator.check_schema(SCHEMAS[kind])
    files = sources_of(kind, ROOT)
    assert files
    for path in [*files, *sources_of(kind, ROOT / "tests" / "small_yard")]:
        assert complaints(kind, value_of(path)) == [], path


@pytest.mark.parametrize("kind", [kind for kind in SCHEMAS if kind != "page"])
def test_every_source_names_its_schema(kind: str) -> None:
    """Its first line says where the schema lies, in the words that editors know."""
    for path in sources_of(kind, ROOT):
        first = path.read_text(encoding="utf-8").split("\n", 1)[0]
        assert first == f"# yaml-language-server: $schema={os.path.relpath(FOLDER / (kind + ENDING), path.parent)}"


def described(schema: Any) -> Iterator[bool]:
    """Yield for each object of a schema whether it says what it is."""
    for part in schema["$defs"].values():
        if part.get("type") == "object":
            yield bool(part.get("description"))


def test_the_parts_say_what_they_are() -> None:
    """Every object of every schema is described, and fields where their type says more than their name."""
    assert all(all(described(schema)) for schema in SCHEMAS.values())
    fields = json.loads((FOLDER / f"company{ENDING}").read_text(encoding="utf-8"))["properties"]
    assert fields["country"]["description"] == "Which rules file holds."


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("site_config/company.yaml", 'emergency_phone: "999"\n', ""),
        ("site_config/company.yaml", "office_phone:", "office_fone:"),
        ("site_config/company.yaml", "office_phone: 01632 960001", "office_phone: 1632"),
        ("site_config/rules/england.yaml", "known: demo", "known: sure"),
        ("site_config/rules/england.yaml", "rules:", "ruels:"),
        ("site_config/fleet/hare.yaml", "tank: 65 L", "tank: 65"),
        ("site_config/scheme.yaml", "notice_days: ", "notice_days: soon #"),
        ("quizbank/practice/fuel.yaml", "kind: reading", "kind: reeding"),
        ("quizbank/practice/fuel.yaml", "{id: smell, text:", "{id: smell, texd:"),
        ("quizbank/practice/fuel.yaml", "criticality: 2", "criticality: 7"),
        ("course/formulas/all.yaml", "relation: w_1*V_1", "relations: w_1*V_1"),
        ("course/formulas/all.yaml", "range: [1, 30]", "range: [1]"),
        ("course/machine/machine.yaml", "symptoms:", "symptons:"),
        ("course/machine/machine.yaml", "seconds: 8", "seconds: eight"),
        ("course/procedures/fuel-filter.yaml", "{first: stop, then: unplug,", "{first: stop,"),
        ("course/skills.yaml", "audience: [technician]", "audience: technician"),
        ("course/skills.yaml", "audience: [technician]", "audience: [technicians]"),
        ("course/words.yaml", "shell:", "shell: 3\nother:"),
        ("course/glossary.yaml", "{id: bund, ", "{"),
        ("course/lessons/staff/L08-filter.md", "minutes: 30", "minutes: half"),
        ("course/lessons/staff/L08-filter.md", "kind: lesson", "kind: leson"),
    ],
)
def test_what_the_reader_refuses_the_schema_refuses(yard: Path, file: str, old: str, new: str) -> None:
    """A mistake in a field is one for both, and the file without it is sound for both."""
    kind, path = kind_of(file), yard / file
    assert kind
    assert complaints(kind, value_of(path)) == []
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert complaints(kind, value_of(path))
    with pytest.raises(SourceErrors):
        read_workspace(yard)
