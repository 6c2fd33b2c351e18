"""A kind of item that the house does not have is added from one folder, and everything asks it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import warmyard

FOLDER = Path(__file__).with_name("odd_one")
STORED = '''

class OddOne3(Common1, frozen=True, kw_only=True, tag="odd-one"):
    """Name the one that does not belong to the others."""

    belong: dict[str, str]
    odd: str
    odd_why: str


class ItemFile3(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A file that names its format; nothing else may stand in it."""

    format: Literal[3]
    items: tuple[Item1 | OddOne3, ...]


ITEMS = Format(
    name="items",
    title="this file of items",
    shapes={1: ItemFile1, 2: ItemFile2, 3: ItemFile3},
    upgrades={1: _to_2, 2: lambda file: {**file, "format": 3}},
)
'''
"""What a new kind adds to what is stored: the next version of a file of items, as DEVELOPERS.md says."""
BANK = """format: 3
items:
  - kind: odd-one
    id: {id}
    skill: change-the-filter
    criticality: 1
    use: {use}
    demand: recall
    ask: Which one is no part of the fuel filter?
    belong: {{bowl: It holds the water that settles., element: It holds the dirt back., vent: It lets the air out.}}
    odd: flue cap
    odd_why: It keeps the rain out of the flue.
"""


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory, workspace_root: Path) -> dict[str, Any]:
    """Give what a copy of the house with the new folder says of it, from its own Python."""
    root = tmp_path_factory.mktemp("house")
    package, yard = root / "builder" / "warmyard", root / "yard"
    shutil.copytree(Path(warmyard.__file__).parent, package, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(FOLDER, package / "item" / "kinds" / "odd_one", ignore=shutil.ignore_patterns("drive.py", "__py*"))
    stored = package / "formats" / "items.py"
    stored.write_text(stored.read_text("utf-8") + STORED, "utf-8")
    shutil.copytree(workspace_root / "tests" / "small_yard", yard)
    for use, name in (("practice", "q-odd"), ("exam", "x-odd")):
        (yard / "quizbank" / use / "odd.yaml").write_text(BANK.format(id=name, use=use), "utf-8")
    lesson = yard / "course" / "lessons" / "staff" / "L08-filter.md"
    lesson.write_text(f"{lesson.read_text('utf-8')}\n```wy-practice\ntitle: Odd\nitems: [q-odd]\n```\n", "utf-8")
    done = subprocess.run(
        [sys.executable, str(FOLDER / "drive.py"), str(yard), str(root / "site")],
        env={**os.environ, "PYTHONPATH": str(package.parent)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_it_is_checked(said: dict[str, Any]) -> None:
    """Sound items pass the proof; a fault of the kind's own rule is named at its line."""
    assert said["unsound"] == [
        "quizbank/practice/odd.yaml:11: q-odd: bowl belongs to the others; name one that does not"
    ]


def test_it_is_drawn_and_stands_on_a_page(said: dict[str, Any]) -> None:
    """The lesson asks it, loads its script, carries its variants, and the coverage counts it."""
    assert said["page"] == {"question": True, "script": True, "variants": 3}
    assert said["coverage"] == 1


def test_it_is_marked_alike_in_python_and_in_the_page(said: dict[str, Any]) -> None:
    """Right, wrong and blank come out the same from both."""
    marks, control = said["browser"]
    assert marks == said["python"]
    assert [(mark["right"], mark["understood"]) for mark in marks] == [(True, True), (False, True), (False, False)]
    assert control == "function"


def test_it_stands_on_a_paper(said: dict[str, Any]) -> None:
    """A blueprint can ask for it, its ids become letters, the frozen key marks it, and its wrong answers have names."""
    assert said["candidates"] == ["x-odd"]
    assert said["paper"] == {
        "ids": ["a", "b", "c", "d"],
        "right": True,
        "wrong": ["bowl", "element", "vent"],
        "script": True,
    }
