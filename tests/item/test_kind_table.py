"""The table of kinds is complete, and only the folder of a kind knows it."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import msgspec
import pytest
import quickjs

from warmyard.certify.exam.sitting import Response
from warmyard.course.workspace import read_workspace
from warmyard.formats.items import ITEMS
from warmyard.formats.papers import PAPER_KEY
from warmyard.item.check import own_answer
from warmyard.item.kind_table import KINDS, MARKINGS, folder_of
from warmyard.item.model import Way
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import Key
from warmyard.page.javascript import KIND_SCRIPTS, runtime_text

PACKAGE = Path(__file__).resolve().parents[2] / "builder" / "warmyard"
FOLDERS = PACKAGE / "item" / "kinds"
KEYS = {str(key.__struct_config__.tag): key for key in get_args(Key)}


def tags_in(shape: Any, field: str) -> set[str]:
    """Return every tag of that name in a frozen shape."""
    text = json.dumps(msgspec.json.schema(shape))
    return set(re.findall(rf'"{field}": {{"enum": \["([^"]+)"\]', text))


def test_every_kind_has_a_record_and_every_record_its_folder() -> None:
    """Folders, records and the newest frozen shape of a file of items name the same kinds."""
    folders = {path.parent.name for path in FOLDERS.glob("*/kind.py")}
    assert folders == {path.name for path in FOLDERS.iterdir() if path.is_dir() and path.name != "__pycache__"}
    assert folders == {folder_of(kind) for kind in KINDS.values()}
    assert set(KINDS) == tags_in(ITEMS.shapes[ITEMS.version], "kind")
    assert [kind.rank for kind in KINDS.values()] == sorted({kind.rank for kind in KINDS.values()})


def test_every_way_of_answering_is_marked_in_one_place() -> None:
    """Keys of variants, of the newest frozen paper key, and markings are the same; kinds share one marking whole."""
    assert set(MARKINGS) == set(KEYS.values())
    assert set(KEYS) == tags_in(PAPER_KEY.shapes[PAPER_KEY.version], "type")
    assert all(kind.marking is MARKINGS[kind.marking.key] for kind in KINDS.values())


def test_every_way_to_assess_is_shown_by_a_kind() -> None:
    """Each way but watching somebody work has a kind of item that shows it."""
    assert {way for kind in KINDS.values() for way in kind.shows} == set(get_args(Way)) - {"observed"}


def test_every_kind_is_registered_in_the_page() -> None:
    """Each kind has its control, says when it is blank, and each way of answering its marker; none is left over."""
    context = quickjs.Context()
    for name in ("wy.js", "number.js", "marking.js", *KIND_SCRIPTS):
        context.eval(runtime_text(name))
    kinds = "Object.keys(WY.kinds).map(k => [k, typeof WY.kinds[k].control, typeof WY.kinds[k].isBlank])"
    found = json.loads(context.eval(f"JSON.stringify({kinds})"))
    assert found == [[name, "function", "function"] for name in KINDS]
    assert set(json.loads(context.eval("JSON.stringify(Object.keys(WY.marking.ways))"))) == set(KEYS)


def test_every_kind_can_be_handed_in(workspace_root: Path) -> None:
    """What a key calls right is a response that the file of a sitting holds."""
    workspace = read_workspace(workspace_root / "tests" / "small_yard")
    seen = set()
    for item in workspace.items.values():
        variant = make_variant(item, 1, workspace.surroundings)
        assert msgspec.convert(own_answer(variant), Response)
        seen.add(variant.question.kind)
    assert seen == set(KINDS)


def named_outside(file: Path, folder: str, names: set[str], tag: str) -> Iterator[str]:
    """Yield where a file asks for a kind by its struct, its key, or its name, as `line: what`."""
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        match node:
            case ast.Call(func=ast.Name(id="isinstance"), args=[_, kinds]):
                asked = {part.id for part in ast.walk(kinds) if isinstance(part, ast.Name)} & names
            case ast.MatchClass(cls=ast.Name(id=name)):
                asked = {name} & names
            case ast.Compare() | ast.MatchValue() | ast.Dict() | ast.keyword(arg="kind"):
                asked = {str(part.value) for part in _parts(node) if isinstance(part, ast.Constant)} & {tag}
            case _:
                continue
        yield from (f"{node.lineno}: {name}" for name in sorted(asked))


def _parts(node: ast.AST) -> Iterator[ast.AST]:
    """Yield what is compared, or the keys of a table."""
    for part in node.keys if isinstance(node, ast.Dict) else [node]:
        yield from ast.walk(part) if part is not None else ()


def keys_named(kind: Any) -> set[str]:
    """Return the names of the structs by which code could ask for a kind."""
    return {kind.struct.__name__, kind.marking.key.__name__}


def strangers(package: Path) -> list[str]:
    """Return every place outside a kind's folder that knows the kind, as `file:line: what`.

    Frozen shapes name what was ever stored, and variant_model what is stored today.
    """
    found = []
    for tag, kind in KINDS.items():
        own = package / "item" / "kinds" / folder_of(kind)
        for file in sorted(package.rglob("*.py")):
            if own in file.parents or package / "formats" in file.parents or file.name == "variant_model.py":
                continue
            where = file.relative_to(package).as_posix()
            found += [f"{where}:{what}" for what in named_outside(file, own.name, keys_named(kind), tag)]
    return found


def test_no_code_outside_its_folder_asks_for_a_kind() -> None:
    """No isinstance, no match and no text with a kind's name stands outside the kind's folder and the frozen shapes."""
    assert strangers(PACKAGE) == []


def test_no_script_outside_its_folder_asks_for_a_kind() -> None:
    """No script of the page compares with the name of a kind or of a key."""
    names = "|".join(map(re.escape, {*KINDS, *KEYS}))
    asks = re.compile(
        rf"(?:case|[=!]==?|indexOf\()\s*\[?[\"'](?:{names})[\"']|(?:kinds|ways)(?:\.(?:{names})\b|\[[\"'])"
    )
    scripts = [*(PACKAGE / "page" / "runtime").glob("*.js"), *(PACKAGE / "web").rglob("*.js")]
    lines = [(file.name, line) for file in scripts for line in file.read_text("utf-8").splitlines()]
    assert [f"{name}: {line}" for name, line in lines if asks.search(line) and "typeof" not in line] == []


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("def f(item): return isinstance(item, (Choice, Draw))", "course/planted.py:1: Choice"),
        ("def f(key):\n    match key:\n        case NumberKey(): return 1", "course/planted.py:3: NumberKey"),
        ("def f(item): return item.kind == 'fault-case'", "course/planted.py:1: fault-case"),
    ],
)
def test_a_planted_stranger_is_named(tmp_path: Path, line: str, says: str) -> None:
    """One place outside that asks for a kind is found, by file and line."""
    (tmp_path / "course").mkdir()
    (tmp_path / "course" / "planted.py").write_text(line, "utf-8")
    assert says in strangers(tmp_path)
