"""No word that a reader sees is left in code: Python, scripts and templates take them from the words files."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "builder" / "warmyard"
SENTENCE = re.compile(r"(?<![-\w./{<=])[A-Za-z]{2,}[,:]? [A-Za-z]{2,}(?![-\w=/(])|\b[A-Z][a-z]+ [a-z]+\b")
"""Two words beside each other, or a large letter and another word."""

MARKUP = re.compile(r"<[^>]*>|\{[{%].*?[%}]\}", re.DOTALL)
"""Tags, and what a template puts in."""

CHECKED = ("machine", "item", "formula", "web", "page")
"""Packages whose Python says nothing to a reader by itself."""
FOR_AUTHORS = {
    "formula/check.py": "faults of the register",
    "formula/proof.py": "faults of a relation's units",
    "formula/register.py": "faults of the register",
    "item/check.py": "faults of items",
    "item/numeric.py": "why a draw does not serve, inside a fault of an item",
    "item/reading.py": "why a draw does not serve, inside a fault of an item",
    "machine/proof.py": "faults of the machine model",
    "machine/reference.py": "faults of the machine model",
    "web/audit.py": "findings of the audit, which end a build",
    "web/links.py": "faults of links",
    "web/view.py": "what `warmyard view` says to an author at a console",
}
"""Modules whose sentences only an author reads, at a console and in English, with the reason."""
ALLOWED = {
    "formula/expression.py": ("write only + - * /", "two or more values", "one value"),
    "machine/diagnosis.py": ("outcome of {}",),
    "page/print.py": ("could not be displayed",),
    "web/words.py": ("`words:` of a file in course/machine/",),
}
"""Single sentences that an author reads inside a fault, or that another program says."""
NOT_SAID = re.compile(r"(Error|Fault|Refused|NoValue|fault)$")
"""Calls whose words go into an exception or a fault, which an author reads."""
FAULT_NAMES = {"what", "what_to_do", "few", "todo"}


def is_code(text: str) -> bool:
    """Say whether a text is JavaScript, a template or a policy and no sentence."""
    return text.startswith(("<!doctype", "var ", "default-src", "(function"))


def text_of(node: ast.AST) -> str | None:
    """Return a literal as text, {} where a value is put in."""
    if isinstance(node, ast.JoinedStr):
        return "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


def says_nothing(node: ast.AST) -> bool:
    """Say whether no reader hears what stands in a node: an exception, a fault, or the parts of one."""
    match node:
        case ast.Raise():
            return True
        case ast.Expr(value=ast.Constant()):
            return True
        case ast.Call(func=func):
            return bool(NOT_SAID.search(ast.unparse(func)))
        case ast.Assign(targets=targets):
            return any(isinstance(to, ast.Name) and to.id in FAULT_NAMES for to in targets)
    return False


def left_out(tree: ast.Module) -> set[int]:
    """Return the literals that say nothing to a reader: docstrings, exceptions, faults, and parts of other literals."""
    nodes = list(ast.walk(tree))
    silent = {id(part) for node in nodes if says_nothing(node) for part in ast.walk(node)}
    return silent | {id(part) for node in nodes if isinstance(node, ast.JoinedStr) for part in node.values}


def sentences(source: str) -> Iterator[tuple[int, str]]:
    """Yield every literal of a module that reads like English, with its line."""
    tree = ast.parse(source)
    skip = left_out(tree)
    for node in ast.walk(tree):
        text = None if id(node) in skip else text_of(node)
        if text and not is_code(text) and SENTENCE.search(MARKUP.sub(" ", text)):
            yield getattr(node, "lineno", 0), text


@pytest.mark.parametrize("package", CHECKED)
def test_no_sentence_stands_in_python(package: str) -> None:
    """Outside docstrings, exceptions and faults no literal of these packages reads like English."""
    found = []
    for path in sorted((PACKAGE / package).rglob("*.py")):
        name = path.relative_to(PACKAGE).as_posix()
        if name in FOR_AUTHORS:
            continue
        for line, text in sentences(path.read_text(encoding="utf-8")):
            if not text.startswith(ALLOWED.get(name, ("\0",))):
                found.append(f"{name}:{line}: {text}")
    assert found == []


def test_a_sentence_in_python_is_found() -> None:
    """The finder sees a heading, a sentence with a value in it and one inside HTML, and no docstring or exception."""
    source = '''
def head(count):
    """Return some words of a page."""
    if not count:
        raise ValueError("nothing is counted here")
    return ["Lessons of today", f"{count} lessons are left", "<p>Go and find it.</p>", "wy-button wy-button--main"]
'''
    said = sorted(text for _, text in sentences(source))
    assert said == ["<p>Go and find it.</p>", "Lessons of today", "{} lessons are left"]


def test_the_exceptions_are_still_needed() -> None:
    """A module or sentence that is excepted and no longer there is taken out of the list."""
    gone = [name for name in FOR_AUTHORS if not any(sentences((PACKAGE / name).read_text(encoding="utf-8")))]
    gone += [
        f"{name}: {start}"
        for name, starts in ALLOWED.items()
        for start in starts
        if not any(text.startswith(start) for _, text in sentences((PACKAGE / name).read_text(encoding="utf-8")))
    ]
    assert gone == []
