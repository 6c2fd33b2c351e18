"""Frozen shapes stay as they were written: each has its outline in tests/golden/shapes, and rests on nothing live."""

from __future__ import annotations

import ast
import json
from pathlib import Path
from typing import Any

import msgspec
import pytest
from outline import outline

from warmyard.formats.every import PINNED
from warmyard.formats.register import Format

ROOT = Path(__file__).resolve().parents[2]
PINS = ROOT / "tests" / "golden" / "shapes"
FORMATS = ROOT / "builder" / "warmyard" / "formats"
SHAPES = [(format_, version) for format_ in PINNED for version in format_.shapes]


def fault_of_pin(folder: Path, name: str, found: Any, write: bool) -> str:
    """Return what is wrong with the pin of a shape, in a sentence; `write` writes one that is missing."""
    path, text = folder / f"{name}.json", json.dumps(found, indent=1, sort_keys=True, ensure_ascii=False)
    if not path.exists() and write:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"{text}\n", "utf-8")
    if not path.exists():
        return f"{name} has no pin: run `pytest tests/formats --write-golden` and commit the file"
    if path.read_text("utf-8") != f"{text}\n":
        return (
            f"the shape of {name} is not what tests/golden/shapes/{name}.json holds. A shape that was once written is "
            "never edited: undo that, and write the change as the next version, with an upgrade from this one"
        )
    return ""


@pytest.mark.parametrize(("format_", "version"), SHAPES, ids=[f"{each.name}-{number}" for each, number in SHAPES])
def test_a_frozen_shape_is_as_it_was_written(format_: Format, version: int, pytestconfig: pytest.Config) -> None:
    """The outline of every version of every format is the committed one."""
    write = bool(pytestconfig.getoption("--write-golden"))
    assert fault_of_pin(PINS, f"{format_.name}-{version}", outline(format_.shapes[version]), write) == ""


def test_every_pin_belongs_to_a_shape() -> None:
    """No version that was once written is taken out: files of it lie somewhere."""
    assert sorted(path.stem for path in PINS.iterdir()) == sorted(f"{each.name}-{number}" for each, number in SHAPES)


@pytest.mark.parametrize("format_", PINNED, ids=lambda format_: str(format_.name))
def test_every_older_version_has_its_upgrade(format_: Format) -> None:
    """Versions count from 1 without a gap, and each but the newest is brought up to the next."""
    assert list(format_.shapes) == list(range(1, format_.version + 1))
    assert list(format_.upgrades) == list(range(1, format_.version))


def test_every_format_has_a_name_of_its_own() -> None:
    """Two formats of one name would share pins and labels."""
    assert len({format_.name for format_ in PINNED}) == len(PINNED)


def test_no_shape_rests_on_the_live_model() -> None:
    """The files of formats/ import msgspec, the standard library and one another, nothing live."""
    seen = {
        f"{file.name}: {node.module}"
        for file in sorted(FORMATS.glob("*.py"))
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.ImportFrom) and str(node.module).startswith("warmyard.")
        if not str(node.module).startswith("warmyard.formats.")
    }
    assert seen == {"register.py: warmyard.errors", "sources.py: warmyard.errors", "sources.py: warmyard.sources"}


class _Slip(msgspec.Struct):
    name: str


class _Renamed(msgspec.Struct):
    title: str


def test_a_pin_is_written_once_and_never_over(tmp_path: Path) -> None:
    """A missing pin is a sentence and is written on request; an edited shape is a sentence, and its pin stays."""
    assert "slip-1 has no pin" in fault_of_pin(tmp_path, "slip-1", outline(_Slip), False)
    assert fault_of_pin(tmp_path, "slip-1", outline(_Slip), True) == ""
    before = (tmp_path / "slip-1.json").read_bytes()
    assert "next version, with an upgrade" in fault_of_pin(tmp_path, "slip-1", outline(_Renamed), True)
    assert (tmp_path / "slip-1.json").read_bytes() == before
