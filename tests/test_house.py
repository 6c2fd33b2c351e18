"""House rules that a machine can see: short files, a sentence on everything public, and what a name promises."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
LONGEST_FILE_LINES = 400
FAULTS = {"SourceError", "PageFault", "str"}
"""What a fault is: a place with what is wrong there, or a sentence."""
HOLDS_FAULTS = {"list", "tuple", "Iterator", "Iterable", "Sequence"}


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


def promises_broken(file: Path) -> list[str]:
    """Return the functions that do not keep what their names promise, as `line: name: what`.

    `check_*` returns faults, or notes them where it is told to and returns nothing; it raises nothing itself.
    `verify_*` raises and returns nothing. `may_*` answers true or false.
    """
    found = []
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            continue
        what = _promise_broken(node)
        if what:
            found.append(f"{node.lineno}: {node.name}: {what}")
    return found


def _promise_broken(node: ast.FunctionDef | ast.AsyncFunctionDef) -> str:
    returns = "None" if node.returns is None else ast.unparse(node.returns)
    raises = any(isinstance(part, ast.Raise) for part in ast.walk(node))
    match node.name.lstrip("_").partition("_"):
        case ("check", "_", _):
            if raises:
                return "a check returns faults and raises nothing"
            return "" if returns == "None" or _is_of_faults(node.returns) else f"a check returns faults, not {returns}"
        case ("verify", "_", _):
            return "" if returns == "None" else f"a verification raises or returns nothing, not {returns}"
        case ("may", "_", _):
            return "" if returns == "bool" else f"may answers true or false, not {returns}"
    return ""


def _is_of_faults(returns: ast.expr | None) -> bool:
    """Say whether an annotation is a list of faults, or one fault or None."""
    match returns:
        case ast.Subscript(value=ast.Name(id=name), slice=inside):
            kind = inside.elts[0] if isinstance(inside, ast.Tuple) else inside
            return name in HOLDS_FAULTS and ast.unparse(kind) in FAULTS
        case ast.BinOp(left=left, op=ast.BitOr(), right=ast.Constant(value=None)):
            return ast.unparse(left) in FAULTS
    return False


def test_a_name_keeps_its_promise() -> None:
    """Every check_* returns faults, every verify_* raises, every may_* answers true or false."""
    package = ROOT / "builder" / "warmyard"
    broken = [
        f"{file.relative_to(package).as_posix()}:{what}"
        for file in sorted(package.rglob("*.py"))
        for what in promises_broken(file)
    ]
    assert broken == []


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("def check_day() -> date: ...", "1: check_day: a check returns faults, not date"),
        (
            "def check_day() -> None:\n    raise ValueError",
            "1: check_day: a check returns faults and raises nothing",
        ),
        ("def verify_day() -> date: ...", "1: verify_day: a verification raises or returns nothing, not date"),
        ("class Desk:\n    def may_go(self) -> Leave: ...", "2: may_go: may answers true or false, not Leave"),
    ],
)
def test_a_broken_promise_is_found(tmp_path: Path, line: str, says: str) -> None:
    """One function of each kind that does otherwise is named by its line."""
    (tmp_path / "day.py").write_text(line, "utf-8")
    assert promises_broken(tmp_path / "day.py") == [says]


def test_kept_promises_are_let_be(tmp_path: Path) -> None:
    """Lists of faults, one fault or None, a silent verification and a plain answer are what the names promise."""
    kept = (
        "def check_all() -> list[SourceError]: ...",
        "def _check_one() -> SourceError | None: ...",
        "def check_page() -> Iterator[str]: ...",
        "def _check_into(faults) -> None: ...",
        "def verify_all() -> None: raise ValueError",
        "def may_go() -> bool: ...",
    )
    (tmp_path / "kept.py").write_text("\n".join(kept), "utf-8")
    assert promises_broken(tmp_path / "kept.py") == []


def test_a_class_name_means_one_thing() -> None:
    """No two modules of the package have a class of the same name."""
    places: dict[str, list[str]] = {}
    package = ROOT / "builder" / "warmyard"
    for file in sorted(package.rglob("*.py")):
        for node in ast.parse(file.read_text("utf-8")).body:
            if isinstance(node, ast.ClassDef):
                places.setdefault(node.name, []).append(f"{file.relative_to(package).as_posix()}:{node.lineno}")
    assert {name: where for name, where in places.items() if len(where) > 1} == {}
