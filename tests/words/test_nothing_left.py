"""No word that a reader sees is left in code: Python, scripts and templates take them from the words files."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from bs4.element import PreformattedString

from warmyard.words import names_in, own_words

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
    "item/drawn_numbers.py": "faults of items with drawn numbers",
    "item/faults.py": "faults of items",
    "item/kinds/*/check.py": "faults of items",
    "item/kinds/numeric/marking.py": "a fault of an item whose slip is marked as another",
    "item/kinds/numeric/plan.py": "why a draw does not serve, inside a fault of an item",
    "item/kinds/reading/draw.py": "why a draw does not serve, inside a fault of an item",
    "machine/load.py": "faults of the machine's sources",
    "machine/proof.py": "faults of the machine model",
    "machine/reference.py": "faults of the machine model",
    "web/audit.py": "findings of the audit, which end a build",
    "web/configuration.py": "faults of an edition's configuration, before anything is built",
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
    """Say whether a text is JavaScript, CSS, a template or a policy and no sentence."""
    return text.startswith(("<!doctype", "@media", "var ", "default-src", "(function"))


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
        if any(fnmatch(name, pattern) for pattern in FOR_AUTHORS):
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
    gone = [
        pattern
        for pattern in FOR_AUTHORS
        if not any(found for path in PACKAGE.glob(pattern) for found in sentences(path.read_text(encoding="utf-8")))
    ]
    gone += [
        f"{name}: {start}"
        for name, starts in ALLOWED.items()
        for start in starts
        if not any(text.startswith(start) for _, text in sentences((PACKAGE / name).read_text(encoding="utf-8")))
    ]
    assert gone == []


TEMPLATE = re.compile(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", re.DOTALL)
SILENT = ("style", "script")
JINJA_LITERAL = re.compile(r"\{[{%].*?[%}]\}", re.DOTALL)


def in_templates(html: str) -> Iterator[str]:
    """Yield the letters that a template writes itself: text, and attributes that a reader sees or hears."""
    page = BeautifulSoup(TEMPLATE.sub("", html), "html.parser")
    for tag in page.find_all(True):
        yield from (str(tag[name]) for name in ("aria-label", "alt", "title", "placeholder") if tag.get(name))
    for text in page.find_all(string=True):
        if not isinstance(text, PreformattedString) and text.parent is not None and text.parent.name not in SILENT:
            yield str(text)


def test_no_template_writes_a_word() -> None:
    """Every letter that a template shows comes from a word or from the course."""
    found = []
    for path in sorted(PACKAGE.rglob("*.html")):
        html = path.read_text(encoding="utf-8")
        name = path.relative_to(PACKAGE).as_posix()
        found += [f"{name}: {text.strip()}" for text in in_templates(html) if re.search("[A-Za-z]", text)]
        for inside in JINJA_LITERAL.findall(html):
            literals = re.findall(r'"([^"]*)"', inside)
            found += [f"{name}: {text}" for text in literals if re.search(r"[A-Za-z]{2,} [a-z]{2,}|[A-Z][a-z]", text)]
    assert found == []


def test_a_word_in_a_template_is_found() -> None:
    """Text, a label and an alternative that a template writes itself are seen; tags, classes and names are not."""
    html = '<p class="wy-tag">Caution</p>{% if say %}<i aria-label="Go on">{{ say }}</i>{% endif %}{{ word("a.b") }}'
    assert sorted(text for text in in_templates(html) if text.strip()) == ["Caution", "Go on"]


SCRIPTS = ("page/runtime", "web/theme/assets")
FROM_OUTSIDE = "vendored"
"""The folder of scripts as they were published: nobody sees their complaints."""
NO_SENTENCE = re.compile(r"wy-|^use strict$|^[\s,;:]*$|^[a-z]+\.[a-z]|\[|[<>{}=#]|^\(pointer: |^input, select")
"""Classes, selectors and ids."""


def literals_of(script: str) -> Iterator[tuple[int, str]]:
    """Yield every text literal of a script with its line; comments and regular expressions are passed over."""
    token = re.compile(
        r"""//[^\n]*|/\*.*?\*/|(?<=[=(,:!&|?+])\s*/(?![*/])(?:\\.|\[(?:\\.|[^\]\n])*\]|[^/\n\\])+/"""
        r"""|"((?:\\.|[^"\\\n])*)"|'((?:\\.|[^'\\\n])*)'|`((?:\\.|[^`\\])*)`""",
        re.DOTALL,
    )
    for found in token.finditer(script):
        text = next((part for part in found.groups() if part is not None), None)
        if text is not None:
            yield script.count("\n", 0, found.start()) + 1, text


def test_no_script_says_a_sentence() -> None:
    """No literal of a script holds two English words; what is said comes from WY.word."""
    found = []
    for folder in SCRIPTS:
        for path in sorted((PACKAGE / folder).rglob("*.js")):
            for line, text in literals_of(path.read_text(encoding="utf-8")) if FROM_OUTSIDE not in path.parts else ():
                if re.search(r"[A-Za-z]{2,}[,:.]? [A-Za-z]{2,}", text) and not NO_SENTENCE.search(text):
                    found.append(f"{path.relative_to(PACKAGE)}:{line}: {text}")
    assert found == []


def test_a_sentence_in_a_script_is_found() -> None:
    """The finder reads both quotes and back ticks, and neither comments nor regular expressions."""
    script = """// "a comment here" and more
      var a = "any above", b = 'no finite number', c = /"not this one"/, d = `two words`; /* 'nor this' */
    """
    assert [text for _, text in literals_of(script)] == ["any above", "no finite number", "two words"]


CALLED = {
    "html": re.compile(r"""\b(?:word|strong)\("([\w.%/-]+)"(?=[,)])"""),
    "py": re.compile(r"""\b(?:say\((?:words|\{\}), |word\(|strong\()"([\w-]+\.[\w./%-]+)"(?=[,)])"""),
    "js": re.compile(r"""WY\.(?:word|button)\("([\w.-]+)"(?=[,)])"""),
}


def test_every_word_that_is_called_is_there() -> None:
    """An id in a template, a module or a script of ours is a word of ours."""
    found = [
        f"{path.relative_to(PACKAGE)}: {name}"
        for kind, called in CALLED.items()
        for path in sorted(PACKAGE.rglob(f"*.{kind}"))
        for name in called.findall(path.read_text(encoding="utf-8"))
        if name not in own_words()
    ]
    assert found == []


def test_one_and_several_stand_together() -> None:
    """What is counted has two words, and the one for a single thing takes no other names."""
    words = own_words()
    counted = [name.removesuffix(".several") for name in words if name.endswith(".several")]
    assert counted
    for name in counted:
        assert names_in(words[f"{name}.one"]) <= names_in(words[f"{name}.several"]), name
