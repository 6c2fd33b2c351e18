"""The layers: every import in the package goes down or stays at home, and fenced libraries stay behind their fence."""

from __future__ import annotations

import ast
import functools
import shutil
import sys
import tomllib
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "builder" / "warmyard"
LAYERS: tuple[tuple[str, ...], ...] = (
    ("cli",),
    ("web", "certify", "measure"),
    ("page",),
    ("course",),
    ("item",),
    ("formula", "machine"),
    ("formats",),
    ("errors", "fields", "sources", "words", "kept", "cores", "markup"),
)
"""From the top down; those of one line but the last are siblings and may not see one another."""
ROOMS: tuple[tuple[str, ...], ...] = (
    ("demo",),
    ("acts", "report"),
    ("exam", "credential"),
    ("rules",),
    ("ledger",),
)
"""The rooms of certify, from the top down, as the layers are."""
ROOM_RANK = {name: rank for rank, floor in enumerate(ROOMS) for name in floor}
FENCES = {
    "mkdocs": "web/plugin.py",
    "cryptography": "certify/ledger/envelope.py",
    "rfc8785": "certify/ledger/canonical.py",
    "typst": "page/print.py",
    "pint": "formula/units.py",
}
NAMES_OF_PACKAGES = {"PyYAML": "yaml", "beautifulsoup4": "bs4", "Jinja2": "jinja2"}
COMES_ALONG = {"markupsafe", "markdown"}
"""Part of the interface of Jinja2 (what it marks as safe) and of mkdocs (how a page becomes HTML)."""
VERSION = "__version__"
"""What the package itself holds, below every layer."""
RANK = {name: rank for rank, layer in enumerate(LAYERS) for name in layer}
GROUND = len(LAYERS) - 1


def imports_of(file: Path, package: Path) -> Iterator[tuple[int, str]]:
    """Yield the line and the full name of everything that a file imports, wherever in the file it does so."""
    yield from _imports_in(file.read_text("utf-8"), ("warmyard", *file.relative_to(package).with_suffix("").parts))


@functools.cache
def _imports_in(text: str, here: tuple[str, ...]) -> tuple[tuple[int, str], ...]:
    """Return the imports of a text; copies of the package hold the same texts again and again."""
    return tuple(_imports(ast.parse(text), here))


def _imports(tree: ast.Module, here: tuple[str, ...]) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(here[: -node.level]) if node.level else ""
            start = ".".join(part for part in (base, node.module) if part)
            yield from ((node.lineno, f"{start}.{alias.name}") for alias in node.names)
        elif isinstance(node, ast.Call) and node.args and _name_of(node.func) in ("import_module", "__import__"):
            first = node.args[0]
            yield node.lineno, str(first.value) if isinstance(first, ast.Constant) else _start_of(first)


def _name_of(function: ast.expr) -> str:
    return function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")


def _start_of(text: ast.expr) -> str:
    """Return the fixed start of a formatted name, or nothing."""
    start = text.values[0] if isinstance(text, ast.JoinedStr) and text.values else None
    return str(start.value) if isinstance(start, ast.Constant) else ""


def faults_of(package: Path) -> list[str]:
    """Return every import that goes up, sideways or over a fence, as `file:line: what`."""
    found = []
    for file in sorted(package.rglob("*.py")):
        inside = file.relative_to(package).as_posix()
        home = inside.partition("/")[0].removesuffix(".py")
        for line, name in imports_of(file, package):
            said = _fault_of(inside, home, name)
            if said:
                found.append(f"builder/warmyard/{inside}:{line}: {said}")
    return found


def _fault_of(inside: str, home: str, name: str) -> str:
    first, _, rest = name.partition(".")
    if first in FENCES:
        return "" if inside == FENCES[first] else f"imports {first}, which only {FENCES[first]} may"
    if first != "warmyard" or home == "__init__":
        return ""
    target = rest.partition(".")[0]
    if target == VERSION:
        return ""
    if target == home:
        return _fault_of_room(inside, name) if home == "certify" else ""
    if home not in RANK or target not in RANK:
        return f"imports warmyard.{target}; {home if home not in RANK else target} has no place in the layers"
    if RANK[target] > RANK[home] or RANK[target] == RANK[home] == GROUND:
        return ""
    way = "up" if RANK[target] < RANK[home] else "sideways"
    return f"{home} imports {way} from {target} ({name})"


def _fault_of_room(inside: str, name: str) -> str:
    """Return what is wrong with an import inside certify: between its rooms there is one direction too."""
    home, target = inside.split("/")[1], name.split(".")[2]
    if home == "__init__.py" or target == home:
        return ""
    if home not in ROOM_RANK or target not in ROOM_RANK:
        return f"imports {name}; {home if home not in ROOM_RANK else target} is no room of certify"
    if ROOM_RANK[target] > ROOM_RANK[home]:
        return ""
    way = "up" if ROOM_RANK[target] < ROOM_RANK[home] else "sideways"
    return f"certify/{home} imports {way} from certify/{target} ({name})"


def circles_of(package: Path) -> list[list[str]]:
    """Return every circle of imports, its files by name; an import inside a function or for types only counts too."""
    files = {_dotted(file, package): file for file in package.rglob("*.py")}
    arrows = {
        name: {each for _, wanted in imports_of(file, package) for each in _targets(wanted, files)} - {name}
        for name, file in files.items()
    }
    reached = {name: _reached(name, arrows) for name in files}
    circles = {
        tuple(sorted(other for other in reached[name] if name in reached[other]))
        for name in files
        if name in reached[name]
    }
    return [[files[name].relative_to(package).as_posix() for name in circle] for circle in sorted(circles)]


def _dotted(file: Path, package: Path) -> str:
    parts = ("warmyard", *file.relative_to(package).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _targets(wanted: str, files: Collection[str]) -> list[str]:
    """Return the modules that an imported name leads to; one that is put together may be any with that start.

    `__main__` is run and never imported by a name of that kind.
    """
    if wanted.endswith("."):
        return [name for name in files if name.startswith(wanted) and not name.endswith(".__main__")]
    name = wanted
    while name and name not in files:
        name = name.rpartition(".")[0]
    return [name] if name else []


def _reached(start: str, arrows: Mapping[str, Collection[str]]) -> set[str]:
    found: set[str] = set()
    waiting = [start]
    while waiting:
        new = [name for name in arrows[waiting.pop()] if name not in found]
        found.update(new)
        waiting += new
    return found


def test_no_imports_run_in_a_circle() -> None:
    """Of any two modules one can be read, and loaded, without the other."""
    assert circles_of(PACKAGE) == []


@pytest.mark.parametrize(
    ("file", "lines", "circle"),
    [
        (
            "course/shelf.py",
            "if TYPE_CHECKING:\n    from warmyard.course.values import Meaning",
            ["course/shelf.py", "course/values.py"],
        ),
        (
            "formula/units.py",
            "def late():\n    from .register import compute",
            ["formula/compute.py", "formula/register.py", "formula/units.py"],
        ),
        ("cli/where.py", "import importlib\nimportlib.import_module(f'warmyard.cli.{verb}')", ["cli/where.py"]),
        ("machine/nearness.py", "import warmyard.machine.diagnosis as known", ["machine/nearness.py"]),
    ],
)
def test_a_planted_circle_is_named(tmp_path: Path, file: str, lines: str, circle: list[str]) -> None:
    """In a copy of the package one import closes a circle: the files of it are named, and no other circle is."""
    copy = tmp_path / "warmyard"
    shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__", "runtime", "theme"))
    (copy / file).write_text(f"{(copy / file).read_text('utf-8')}\n{lines}\n", "utf-8")
    (found,) = [each for each in circles_of(copy) if each not in circles_of(PACKAGE)]
    assert set(circle) <= set(found)


def test_every_import_goes_down() -> None:
    """No module imports from a higher layer or a sibling, and no fenced library is used outside its file."""
    assert faults_of(PACKAGE) == []


def test_every_part_of_the_package_has_a_place() -> None:
    """Each folder and module of the package stands in the layer picture."""
    parts = {path.stem for path in PACKAGE.iterdir() if path.suffix == ".py" or (path / "__init__.py").is_file()}
    assert parts - {"__init__"} <= set(RANK)


@pytest.mark.parametrize(
    ("file", "line", "says"),
    [
        ("measure/cut.py", "from warmyard.certify import ledger", "measure imports sideways from certify"),
        ("formula/units.py", "import warmyard.item.kinds", "formula imports up from item"),
        ("item/model.py", "from ..course import model", "item imports up from course"),
        ("machine/model.py", "from warmyard import formula", "machine imports sideways from formula"),
        ("sources.py", "def late():\n    from warmyard.page import payload", "sources imports up from page"),
        ("course/model.py", "import importlib\nimportlib.import_module('warmyard.web.plugin')", "up from web"),
        ("certify/rules/dates.py", "from warmyard.certify.acts import issue", "certify/rules imports up from"),
        (
            "certify/report/export.py",
            "import warmyard.certify.acts.certificate",
            "certify/report imports sideways from",
        ),
        ("cli/where.py", "import mkdocs.config", "imports mkdocs, which only web/plugin.py may"),
        ("page/__init__.py", "from pint import Unit", "imports pint, which only formula/units.py may"),
    ],
)
def test_a_planted_import_is_named_with_its_line(tmp_path: Path, file: str, line: str, says: str) -> None:
    """In a copy of the package, one wrong import is found and named by file and line, and nothing else is."""
    copy = tmp_path / "warmyard"
    shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__", "runtime", "theme"))
    before = (copy / file).read_text("utf-8").rstrip("\n")
    (copy / file).write_text(f"{before}\n{line}\n", "utf-8")
    at = before.count("\n") + 1 + len(line.splitlines())
    new = [fault for fault in faults_of(copy) if fault not in faults_of(PACKAGE)]
    assert len(new) == 1
    assert new[0].startswith(f"builder/warmyard/{file}:{at}: ")
    assert says in new[0]


def test_only_declared_libraries_are_imported() -> None:
    """What the package imports from outside is the standard library or stands among its pinned dependencies."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    declared = {entry.partition("==")[0] for entry in project["dependencies"]}
    known = (
        {NAMES_OF_PACKAGES.get(name, name) for name in declared}
        | set(sys.stdlib_module_names)
        | COMES_ALONG
        | {"warmyard"}
    )
    strangers = [
        f"{file.relative_to(ROOT).as_posix()}:{line}: {name}"
        for file in sorted(PACKAGE.rglob("*.py"))
        for line, name in imports_of(file, PACKAGE)
        if name and name.partition(".")[0] not in known
    ]
    assert strangers == []


def test_only_the_command_reads_the_clock() -> None:
    """Below cli/ nobody asks for the time or the environment: both come down as arguments, so that runs repeat."""
    asked = {"now", "today", "utcnow", "time", "time_ns", "environ", "getenv"}
    owners = {"datetime", "date", "time", "os"}
    found = [
        f"{file.relative_to(ROOT).as_posix()}:{node.lineno}: {node.value.id}.{node.attr}"
        for file in sorted(PACKAGE.rglob("*.py"))
        if file.parent.name != "cli"
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and node.value.id in owners
        and node.attr in asked
    ]
    assert found == []
