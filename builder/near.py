"""Which tests a change touches: those that mirror a changed file, import it, or speak of it by name.

Standard library only; `start.py test --near` asks it. It looks one step far: who imports a module that imports the
changed one is left to the whole run.
"""

from __future__ import annotations

import ast
import re
import subprocess
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path, PurePosixPath

PACKAGE = "builder/warmyard/"
SOURCES = ("course/", "quizbank/", "site_config/")
PROOF = "tests/course/test_workspace.py"
"""Proves the sources of this checkout, whatever changed in them."""
MOST_FILES = 20
"""A change that touches more test files than this touches everything; so many run in a minute on two cores."""
OUTSIDE = ("tests/bench/", "tests/outside/")
"""Scripts that no test run starts."""


@dataclass(frozen=True, slots=True)
class Near:
    """The test files to run, as paths from the root, and whether a change touches so much that only mirrors are in."""

    files: tuple[str, ...]
    touches_everything: bool = False
    too_long: tuple[str, ...] = ()
    """Touched, mirrored by no change, and among the longest files: left to the whole run."""


def changed_files(root: Path, base: str) -> list[str]:
    """Return what differs from where the branch left its base, committed or not, new files too; raise OSError."""

    def git(*words: str) -> list[str]:
        done = subprocess.run(["git", *words], cwd=root, capture_output=True, text=True, check=False)
        if done.returncode:
            raise OSError(done.stderr.strip() or f"git {words[0]} failed")
        return done.stdout.splitlines()

    (fork,) = git("merge-base", base, "HEAD")
    changed = git("diff", "--name-only", "--no-renames", fork)
    return sorted({*changed, *git("ls-files", "--others", "--exclude-standard")})


def near_tests(root: Path, changed: Iterable[str]) -> Near:
    """Return the test files near some changed files, all given as paths from the root with forward slashes."""
    suite = Suite(root)
    mirrored: set[str] = set()
    touched: set[str] = set()
    for path in changed:
        mirrored |= suite.mirroring(path)
        touched |= suite.touching(path)
    too_long = (touched - mirrored) & suite.longest
    near = (mirrored | touched) - too_long
    if len(near) > MOST_FILES:
        return Near(tuple(sorted(mirrored)), touches_everything=True)
    return Near(tuple(sorted(near)), too_long=tuple(sorted(too_long)))


class Suite:
    """The test files of a checkout, what each imports, and the words of each."""

    def __init__(self, root: Path) -> None:
        """Read every Python file under tests/, once."""
        self.texts: dict[str, str] = {
            file.relative_to(root).as_posix(): file.read_text("utf-8")
            for file in sorted((root / "tests").rglob("*.py"))
            if not file.relative_to(root).as_posix().startswith(OUTSIDE)
        }
        self.files = {name for name in self.texts if PurePosixPath(name).name.startswith("test_")}

    @cached_property
    def longest(self) -> set[str]:
        """The files that tests/conftest.py begins first because they take longest."""
        for node in ast.parse(self.texts.get("tests/conftest.py", "")).body:
            if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "LONGEST_FIRST":
                return {f"tests/{name}" for name in ast.literal_eval(node.value)}
        return set()

    @cached_property
    def imports(self) -> Mapping[str, frozenset[str]]:
        """The modules that each file names in an import, in whatever depth: `warmyard.page.charts`, `outline`."""
        return {name: frozenset(_imported(text)) for name, text in self.texts.items()}

    def mirroring(self, path: str) -> set[str]:
        """Return the tests that are, or are named after, a changed file: page/charts.py has page/test_charts.py."""
        if path in self.files:
            return {path}
        stem = PurePosixPath(path).stem
        if not path.startswith((PACKAGE, "builder/")):
            return set()
        beside = f"tests/{PurePosixPath(path.removeprefix(PACKAGE).removeprefix('builder/')).parent}/test_{stem}.py"
        beside = beside.replace("/./", "/")
        if beside in self.files:
            return {beside}
        return {file for file in self.files if PurePosixPath(file).name == f"test_{stem}.py"}

    def touching(self, path: str) -> set[str]:
        """Return the tests that import a changed file or speak of it; those of a conftest are all that it serves."""
        where = PurePosixPath(path)
        proof = {PROOF} & self.files if path.startswith(SOURCES) else set()
        if where.name == "conftest.py":
            return self._served([path])
        if path.endswith(".py"):
            module = path.removeprefix("builder/").removesuffix(".py").removesuffix("/__init__").replace("/", ".")
            if path.startswith("tests/"):
                module = where.stem
            return self._served(name for name, modules in self.imports.items() if module in modules)
        return proof | self._served(name for name, text in self.texts.items() if _speaks_of(text, where))

    def _served(self, names: Iterable[str]) -> set[str]:
        found: set[str] = set()
        for name in names:
            if name in self.files:
                found.add(name)
            elif name.endswith("conftest.py"):
                folder = name.removesuffix("conftest.py")
                found |= {file for file in self.files if file.startswith(folder)}
            elif name.startswith("tests/shared/"):
                found |= self._served(
                    each for each, modules in self.imports.items() if PurePosixPath(name).stem in modules
                )
        return found


def _imported(text: str) -> Iterable[str]:
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from (each.name for each in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{each.name}" for each in node.names)


def _speaks_of(text: str, where: PurePosixPath) -> bool:
    """Say whether a test names a file, or the folder of test data that it lies in."""
    names = [where.name]
    if where.parts[0] == "tests" and len(where.parts) > 2:
        names.append(where.parts[1] if where.parts[1] != "golden" else where.parts[2])
    return any(re.search(rf"(?<![\w.-]){re.escape(name)}(?![\w-])", text) for name in names)
