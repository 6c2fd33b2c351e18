"""The table of fences is complete, only a fence's own modules know it, and a new one is added from two."""

from __future__ import annotations

import ast
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import warmyard
from warmyard.course.fence_table import FENCES
from warmyard.formats.lessons import LESSONS, fences_in
from warmyard.web.fence_writers import WRITERS

PACKAGE = Path(warmyard.__file__).parent
NEW = Path(__file__).with_name("remark")
STORED = '''

class Remark5(msgspec.Struct, frozen=True, kw_only=True, tag="wy-remark", tag_field="fence"):
    """A remark about a procedure."""

    procedure: str
    say: str


class Front5(Front1, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The front matter of a page that names its format."""

    format: Literal[5]


class Page5(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A page that names its format in its front matter."""

    front: Front5
    fences: tuple[Fence1 | Survey3 | Step4 | Reference4 | Folded4 | Remark5, ...] = ()


LESSONS = Format(
    name="lesson",
    title="this page",
    shapes={1: Page1, 2: Page2, 3: Page3, 4: Page4, 5: Page5},
    upgrades={1: _to_2, 2: _to_3, 3: _to_4, 4: lambda page: {**page, "front": {**page["front"], "format": 5}}},
)
'''
"""What a new fence adds to what is stored: the next version of a page, as DEVELOPERS.md says."""
DRIVE = """
import json, sys
from pathlib import Path
from warmyard.course.proof import read_proved
from warmyard.errors import SourceErrors
from warmyard.web.build import build_edition

yard, site = Path(sys.argv[1]), Path(sys.argv[2])
build_edition(read_proved(yard), "staff", site)
page = yard / "course/lessons/staff/aid-tank.md"
text = page.read_text("utf-8")


def faults(changed):
    page.write_text(changed, "utf-8")
    try:
        read_proved(yard)
    except SourceErrors as found:
        return [str(fault) for fault in found.faults]
    finally:
        page.write_text(text, "utf-8")


wrong = faults(text.replace("procedure: fuel-filter\\nsay: Keep", "procedure: none\\nsay: ' ' # "))
older = faults(text.replace("format: 5", "format: 3", 1))
print(json.dumps({"page": (site / "aid-tank.html").read_text("utf-8"), "faults": wrong, "older": older}))
"""
FENCE = """
```wy-remark
procedure: fuel-filter
say: Keep [[rule clear-in-front]] clear.
```
"""


def test_every_fence_has_a_record_a_writer_and_a_frozen_shape() -> None:
    """The modules of course/fences and web/fences and the newest frozen page name the same fences."""
    named = {name.removeprefix("wy-").replace("-", "_") for name in FENCES}
    for folder, holds in (("course", "FENCE of that name"), ("web", "function write")):
        modules = {path.stem for path in (PACKAGE / folder / "fences").glob("*.py")} - {"__init__"}
        assert modules == named, (
            f"write in builder/warmyard/{folder}/fences/ one module for each fence, with the {holds}"
        )
    assert FENCES.keys() == WRITERS.keys()
    stored = fences_in(LESSONS.version)
    assert stored == FENCES.keys(), "bring builder/warmyard/formats/lessons.py to the fences that there are"


def looks(tree: ast.Module) -> set[ast.expr]:
    """Return the names of elements and classes that a module writes: a fence and what is made of it may share one."""
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    named = {
        call.args[0] for call in calls if isinstance(call.func, ast.Name) and call.func.id == "element" and call.args
    }
    return named | {word.value for call in calls for word in call.keywords if word.arg == "class_"}


def strangers(package: Path) -> Iterator[str]:
    """Yield every isinstance and every match on what stands in one kind of fence, outside its own modules."""
    nodes = {fence.node.__name__ for fence in FENCES.values()}
    for file in sorted(package.rglob("*.py")):
        if file.parent.name == "fences":
            continue
        tree = ast.parse(file.read_text("utf-8"))
        written = looks(tree)
        for node in ast.walk(tree):
            match node:
                case ast.Call(func=ast.Name(id="isinstance"), args=[_, kinds]):
                    asked = {part.id for part in ast.walk(kinds) if isinstance(part, ast.Name)} & nodes
                case ast.MatchClass(cls=ast.Name(id=name)):
                    asked = {name} & nodes
                case ast.Constant(value=str(text)) if node not in written:
                    asked = {text} & FENCES.keys()
                case _:
                    continue
            yield from (f"{file.relative_to(package).as_posix()}:{node.lineno}: {name}" for name in asked)


def test_no_code_outside_its_modules_asks_for_a_fence() -> None:
    """Nothing but the fence's two modules and the frozen shapes knows one kind of fence."""
    assert [each for each in strangers(PACKAGE) if not each.startswith("formats/")] == []


def test_a_planted_stranger_is_named(tmp_path: Path) -> None:
    """An isinstance and a match on one kind of fence are found."""
    (tmp_path / "planted.py").write_text("def f(node): return isinstance(node, CardNode)\n", "utf-8")
    assert list(strangers(tmp_path)) == ["planted.py:1: CardNode"]
    (tmp_path / "planted.py").write_text(
        'asked = kind == "wy-chart"\nmade = element("p", class_="wy-chart")\n', "utf-8"
    )
    assert list(strangers(tmp_path)) == ["planted.py:1: wy-chart"]


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a copy of the house with the two modules of a new fence."""
    root = tmp_path_factory.mktemp("house")
    package = root / "builder" / "warmyard"
    shutil.copytree(PACKAGE, package, ignore=shutil.ignore_patterns("__pycache__"))
    for place in ("course", "web"):
        shutil.copy(NEW / f"{place}.py", package / place / "fences" / "remark.py")
    stored = package / "formats" / "lessons.py"
    stored.write_text(stored.read_text("utf-8") + STORED, "utf-8")
    return root


def test_a_new_fence_is_checked_and_written(house: Path, workspace_root: Path) -> None:
    """From its two modules a fence is read, its names and its own rule are checked, and it stands on the page."""
    yard = house / "yard"
    shutil.copytree(workspace_root / "tests" / "small_yard", yard)
    lesson = yard / "course" / "lessons" / "staff" / "aid-tank.md"
    lesson.write_text(lesson.read_text("utf-8").replace("format: 2", "format: 5", 1) + FENCE, "utf-8")
    done = subprocess.run(
        [sys.executable, "-c", DRIVE, str(yard), str(house / "site")],
        env={**os.environ, "PYTHONPATH": str(house / "builder")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert '<aside class="wy-remark">Keep <span class="wy-value" data-wy-rule="clear-in-front"' in found["page"]
    assert [fault.partition(": ")[2].partition(";")[0] for fault in found["faults"]] == [
        "there is no procedure none",
        "a remark says nothing",
    ]
    (older,) = found["older"]
    assert re.fullmatch(
        r"course/lessons/staff/aid-tank\.md:\d+: this page is of format 3, "
        r"and pages hold wy-remark from format 5 on; write `format: 5` in its front matter",
        older,
    )


def test_a_fence_without_its_writer_is_one_sentence(house: Path, workspace_root: Path, tmp_path: Path) -> None:
    """`warmyard check` says which fence lacks it and where it is written."""
    builder, yard = tmp_path / "builder", tmp_path / "yard"
    shutil.copytree(house / "builder", builder)
    shutil.copytree(workspace_root / "tests" / "small_yard", yard)
    (builder / "warmyard" / "web" / "fences" / "remark.py").unlink()
    done = subprocess.run(
        [sys.executable, "-m", "warmyard.cli", "check"],
        cwd=yard,
        env={**os.environ, "PYTHONPATH": str(builder), "XDG_CACHE_HOME": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    says = "the fence wy-remark has no writer; add the function write to builder/warmyard/web/fences/remark.py\n"
    assert (done.returncode, done.stdout, done.stderr) == (2, "", says)
