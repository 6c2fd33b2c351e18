"""House rules that a machine can see: short files, and a sentence on everything public."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
LONGEST_FILE_LINES = 400


def sources() -> list[Path]:
    """Return every Python and JavaScript file that we wrote."""
    return sorted(
        file
        for folder in ("builder", "tests")
        for ending in ("*.py", "*.js")
        for file in (ROOT / folder).rglob(ending)
        if "egg-info" not in file.as_posix() and "node_modules" not in file.parts
    )


def test_no_file_is_longer_than_a_reader_holds() -> None:
    """Each Python and JavaScript file has fewer than 400 lines."""
    long = {
        file.relative_to(ROOT).as_posix(): lines
        for file in sources()
        if (lines := len(file.read_text("utf-8").splitlines())) >= LONGEST_FILE_LINES
    }
    assert long == {}


def public_functions(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Yield the functions of a module, and the methods of its classes, whose names do not start with a dash below."""
    for node in tree.body:
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)) and not node.name.startswith("_"):
            yield node
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for part in node.body:
                if isinstance(part, (ast.FunctionDef, ast.AsyncFunctionDef)) and not part.name.startswith("_"):
                    yield part


def without_docstring(folder: Path) -> list[str]:
    """Return the modules and public functions under a folder that nothing explains, as `file:line: name`."""
    found = []
    for file in sorted(folder.rglob("*.py")):
        tree = ast.parse(file.read_text("utf-8"))
        name = file.relative_to(folder).as_posix()
        if not ast.get_docstring(tree):
            found.append(f"{name}:1: the module")
        found += [
            f"{name}:{each.lineno}: {each.name}" for each in public_functions(tree) if not ast.get_docstring(each)
        ]
    return found


def test_everything_public_says_what_it_does() -> None:
    """Every module and every public function of the package starts with a sentence."""
    assert without_docstring(ROOT / "builder" / "warmyard") == []


def test_a_silent_function_is_found(tmp_path: Path) -> None:
    """A public function without its sentence is named; a private one is not."""
    (tmp_path / "silent.py").write_text('"""A module."""\n\n\ndef loud(): ...\n\n\ndef _quiet(): ...\n', "utf-8")
    assert without_docstring(tmp_path) == ["silent.py:4: loud"]


def test_every_test_says_what_holds() -> None:
    """Every test starts with one sentence that says what holds."""
    silent = [
        f"{file.relative_to(ROOT).as_posix()}:{node.lineno}: {node.name}"
        for file in sorted((ROOT / "tests").rglob("test_*.py"))
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_") and not ast.get_docstring(node)
    ]
    assert silent == []
