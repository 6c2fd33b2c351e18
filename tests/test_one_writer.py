"""One writer each: JSON goes into pages through page/javascript.py, tags are made by markup.py and by templates."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[1] / "builder" / "warmyard"
JSON_WRITER, ELEMENT_WRITER = "page/javascript.py", "markup.py"
NO_PAGE = {
    "certify/acts/certificate.py": "certificates and status lists handed out as .json",
    "certify/exam/paper.py": "the questions, sealed before they go into the page",
    "certify/exam/paper_key.py": "the key of a paper, a .json in the office",
    "certify/ledger/canonical.py": "the canonical form, by which a signature is checked",
    "certify/report/export.py": "the CSVW description of a table, a .json",
    "cli/check.py": "what the command line says as JSON",
    "cli/clearance.py": "what the command line says as JSON",
    "cli/figures.py": "what the command line says as JSON",
    "cli/mark.py": "what the command line says as JSON",
    "cli/requirements.py": "what the command line says as JSON",
    "cli/schema.py": "a JSON Schema, a .json",
    "cli/suspects.py": "what the command line says as JSON",
    "cli/upgrade.py": "what the command line says as JSON",
    "cli/work.py": "what the command line says as JSON",
    "formats/practice_records.py": "an order of a stored record's answers, compared and not written",
    "formats/sources.py": "a value of a source, shown in a fault",
    "page/print.py": "the data of a printed sheet, which typst reads",
    "web/as_built.py": "the note of what was built, a .json of the cache",
    "web/search_entries.py": "entries of the search index, kept until the next build",
    "web/telephone.py": "the manifest, a .webmanifest",
}
"""Every other file that writes JSON, and what the JSON is: none of it goes into a script or an attribute."""
NO_TAG = {
    ("formula/keyed_in.py", "</math"): "looks for it in a made line; nothing of it is written",
    ("formula/keyed_in.py", "</mrow"): "looks for it in a made line; nothing of it is written",
    ("course/picture.py", "<svg"): "tells an author what to write",
    ("course/picture.py", "<"): "names in a fault what a drawing holds, and looks for its line",
    ("web/audit.py", "<base"): "names what was found in a page",
    ("web/audit.py", "<"): "names what was found in a page",
    ("web/parsed.py", "<div"): "hands what stands in a template to the parser; nothing of it is written",
    ("web/parsed.py", "</div"): "hands what stands in a template to the parser; nothing of it is written",
}
"""Texts with a tag that no reader's page is made of."""
ENCODERS = {"dumps", "dump", "encode", "Encoder", "JSONEncoder", "htmlsafe_json_dumps"}
JSON_MODULES = {"json", "msgspec.json", "orjson", "jinja2.utils"}
TAG = re.compile(r"</?[a-zA-Z][\w-]*(?=[\s/>]|$)")
OPENS = re.compile(r"</?\Z")
"""What opens a tag whose name is put in after it: f"<{name}>"."""
SETS = re.compile(r"(?:\bvar \w+|\bWY\.\w+|\bwindow\.\w+|\bself\.\w+) = \Z")
READS = {
    "compile", "count", "find", "findall", "finditer", "fullmatch", "index", "match", "partition", "removeprefix",
    "removesuffix", "replace", "rfind", "rpartition", "search", "split", "startswith", "endswith", "sub",
}  # fmt: skip
"""What is looked for is the first that these take."""


def files() -> Iterator[tuple[str, ast.Module]]:
    """Yield every module of the package by its place in it."""
    for file in sorted(PACKAGE.rglob("*.py")):
        yield file.relative_to(PACKAGE).as_posix(), tree_of(file.read_text("utf-8"))


@cache
def tree_of(text: str) -> ast.Module:
    """Return the tree of a module."""
    return ast.parse(text)


# ---- JSON ----------------------------------------------------------------------------------------------------------


def dotted(node: ast.expr) -> str:
    """Return a name with its dots: msgspec.json.encode; nothing for what is no name."""
    if isinstance(node, ast.Attribute):
        return f"{dotted(node.value)}.{node.attr}"
    return node.id if isinstance(node, ast.Name) else ""


def json_writers(tree: ast.Module) -> list[int]:
    """Return the lines where a module takes what writes JSON, under whatever name it was imported."""
    known = {module: module for module in JSON_MODULES}
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            known |= {alias.asname: alias.name for alias in node.names if alias.asname}
        elif isinstance(node, ast.ImportFrom):
            known |= {alias.asname or alias.name: f"{node.module}.{alias.name}" for alias in node.names}
            found += [node.lineno for alias in node.names if node.module in JSON_MODULES and alias.name in ENCODERS]
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and node.attr in ENCODERS:
            first, _, rest = dotted(node.value).partition(".")
            if ".".join(part for part in (known.get(first, first), rest) if part) in JSON_MODULES:
                found.append(node.lineno)
    return found


def unsafe_values(tree: ast.Module) -> list[int]:
    """Return the lines where a script is given a value that the one writer did not write: f"WY.x = {value}"."""
    found = []
    for node in ast.walk(tree):
        if not isinstance(node, ast.JoinedStr):
            continue
        for before, value in zip(node.values, node.values[1:], strict=False):
            if not (isinstance(before, ast.Constant) and isinstance(value, ast.FormattedValue)):
                continue
            written = isinstance(value.value, ast.Call) and dotted(value.value.func).endswith("inert_json")
            if SETS.search(str(before.value)) and not written:
                found.append(node.lineno)
    return found


def test_json_goes_into_pages_by_one_writer() -> None:
    """No module but page/javascript.py writes JSON, except for files and answers that are JSON themselves."""
    found = {name for name, tree in files() if json_writers(tree)}
    assert found == {JSON_WRITER, *NO_PAGE}


def test_a_script_takes_no_value_that_the_writer_did_not_write() -> None:
    """Where an f-string sets a variable of a script, the value is inert_json's."""
    assert [f"{name}:{line}" for name, tree in files() for line in unsafe_values(tree)] == []


def test_no_template_writes_json() -> None:
    """Templates are given text; none turns a value into JSON itself."""
    found = [
        file.relative_to(PACKAGE).as_posix()
        for file in sorted(PACKAGE.rglob("*.html"))
        if re.search(r"\|\s*tojson", file.read_text("utf-8"))
    ]
    assert found == []


@pytest.mark.parametrize(
    "text",
    [
        "import json\njson.dumps(1)",
        "import json as j\nj.dumps(1)",
        "from json import dumps as d\nd(1)",
        "import msgspec\nmsgspec.json.encode(1)",
        "from msgspec import json\njson.encode(1)",
        "from msgspec import json as fast\nwrite = fast.Encoder()",
    ],
)
def test_json_is_seen_by_any_name(text: str) -> None:
    """An encoder is found however it was imported."""
    assert json_writers(ast.parse(text))


def test_a_bare_value_in_a_script_is_seen() -> None:
    """A value between quotes or without is found; one of inert_json is not."""
    assert unsafe_values(ast.parse('f"WY.status = {compact}"')) == [1]
    assert unsafe_values(ast.parse('f"var SITE = {inert_json(x)};"')) == []


# ---- Tags ----------------------------------------------------------------------------------------------------------


def read_only(tree: ast.Module) -> set[ast.AST]:
    """Return the texts of a module that make no tag: docstrings, and what is looked for."""
    kept: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr):
            kept.add(node.value)
        elif isinstance(node, ast.Compare):
            kept |= {node.left, *node.comparators}
        elif isinstance(node, ast.Call) and node.args:
            if isinstance(node.func, ast.Attribute) and node.func.attr in READS:
                kept.add(node.args[0])
            elif dotted(node.func) == "compile":
                kept |= set(node.args)
    return kept


def made_tags(tree: ast.Module) -> list[tuple[int, str]]:
    """Return line and tag of every text of a module that makes a tag: f-string, +, %, .format, join or as it stands."""
    kept = read_only(tree)
    found = []
    for node in ast.walk(tree):
        if node in kept or not isinstance(node, ast.Constant) or not isinstance(node.value, str):
            continue
        found += [(node.lineno, tag) for tag in TAG.findall(node.value)]
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            found += [(node.lineno, opens) for text in texts_before_values(node) for opens in OPENS.findall(text)]
    return found


def texts_before_values(text: ast.JoinedStr) -> Iterator[str]:
    """Yield what stands right before each value of an f-string, where a tag that opens there could be closed."""
    for at, (before, value) in enumerate(zip(text.values, text.values[1:], strict=False), start=2):
        closed = any(isinstance(after, ast.Constant) and ">" in str(after.value) for after in text.values[at:])
        if isinstance(before, ast.Constant) and isinstance(value, ast.FormattedValue) and closed:
            yield str(before.value)


def test_tags_are_made_by_one_writer_and_by_templates() -> None:
    """No text of the package outside markup.py and the Jinja templates makes a tag."""
    found = [(name, tag, line) for name, tree in files() if name != ELEMENT_WRITER for line, tag in made_tags(tree)]
    assert [f"{name}:{line}: {tag}" for name, tag, line in found if (name, tag) not in NO_TAG] == []
    assert {(name, tag) for name, tag, _ in found} == set(NO_TAG)


@pytest.mark.parametrize(
    "text",
    [
        'f"<p>{x}</p>"',
        'f"<{name}>"',
        'f"a</{name}>"',
        "\"<p class='a'>\" + x",
        '"<p>%s</p>" % x',
        'Markup("<p>{}</p>").format(x)',
        '"<br>".join(x)',
        'x.replace("a", "<b>")',
        'parts.append("</p>")',
        'environment.from_string("<p>{{ x }}</p>")',
    ],
)
def test_a_tag_is_seen_however_it_is_made(text: str) -> None:
    """Every way to put a tag together by hand is found."""
    assert made_tags(ast.parse(text))


@pytest.mark.parametrize(
    "text",
    [
        '"a < b"',
        'f"{first}<{then}"',
        '"""Says <p>."""',
        'x.find("<h2")',
        '"<h1" in x',
        're.compile("<p>")',
    ],
)
def test_what_makes_no_tag_may_stand(text: str) -> None:
    """A comparison, a docstring and what is looked for are no faults."""
    assert made_tags(ast.parse(text)) == []
