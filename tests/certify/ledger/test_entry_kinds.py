"""The table of entry kinds is complete, the ledger asks it alone, and a new kind is added to it."""

from __future__ import annotations

import ast
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import warmyard
from warmyard.certify.acts.kinds import ENTER, FILES
from warmyard.certify.ledger.bodies import KINDS
from warmyard.certify.ledger.kind_table import ENTRY_KINDS
from warmyard.cli import enter
from warmyard.formats.entries import BODIES
from warmyard.words import own_words

PACKAGE = Path(warmyard.__file__).parent
LEDGER = PACKAGE / "certify" / "ledger"
BY_ANOTHER_VERB = {"open", "paper", "sitting", "irregularity", "decision", "certificate"}
"""Kinds that `enter` does not take: each has a verb of its own."""
BODY = '''class Toolkit(Body, frozen=True, kw_only=True):
    """A set of tools lent to a person, once."""

    kind = "toolkit"
    signed_by = ("custodian",)
    voidable = True
    tools: Count


'''
STORED = """

class ToolkitBody2(SignedShape, frozen=True, kw_only=True):
    tools: Count


BODIES["toolkit"] = Format(
    name="entry-toolkit", title="an entry of kind toolkit", shapes={2: ToolkitBody2}, upgrades={}
)
"""
KIND = '''"""A set of tools lent to a person."""

from warmyard.certify.ledger.bodies import Toolkit
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Toolkit) -> None:
    if any(state.of(entry.person, Toolkit)):
        refuse("somebody has tools already")


def _change(state: State, fact: Fact[Toolkit]) -> None:
    state.forms["tools out"] = state.forms.get("tools out", 0) + fact.body.tools


KIND = EntryKind(body=Toolkit, verify=_verify, change=_change)
'''
DRIVE = """
import json
from memory_book import new_book

book = new_book()

def tried(person, body, by="cora"):
    try:
        return book.add("toolkit", person, body, 1, by=by)
    except Exception as problem:
        return str(problem)

first = tried("ann", {"tools": 5})
said = [
    tried("ann", {"tools": 5}), tried("bob", {"tools": -1}),
    tried("bob", {"tools": 1}, by="ida"), tried("", {"tools": 1}),
]
void = book.add("void", "", {"entry": first, "because": "wrong"}, 2)
again = tried("ann", {"tools": 2}) == void + 1
print(json.dumps({"said": said, "again": again, "out": book.state.forms["tools out"]}))
"""


def test_every_kind_has_body_rule_frozen_shape_and_name() -> None:
    """Bodies, modules, frozen shapes and the words that name an entry are of the same kinds."""
    assert {path.stem for path in (LEDGER / "kinds").glob("*.py")} - {"__init__"} == set(ENTRY_KINDS)
    assert {name: kind.body for name, kind in ENTRY_KINDS.items()} == KINDS
    assert KINDS.keys() == BODIES.keys()
    assert {f"entry.{name}" for name in KINDS} <= own_words().keys()


def test_every_kind_has_its_act() -> None:
    """`enter` and the other verbs make all kinds; each is appended by its name in acts, the first in the ledger."""
    assert set(enter.KINDS) | BY_ANOTHER_VERB == set(KINDS)
    assert not set(enter.KINDS) & BY_ANOTHER_VERB
    assert set(ENTER) <= set(FILES) == set(enter.KINDS) - {"observation", "scheme"}
    assert {name for folder in ("acts", "ledger") for name in appended(PACKAGE / "certify" / folder)} == set(KINDS)


def appended(folder: Path) -> Iterator[str]:
    """Yield the kinds that the calls of `append` in a folder name."""
    for file in folder.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func).rpartition(".")[2] == "append":
                yield from (arg.value for arg in node.args if isinstance(arg, ast.Constant) and arg.value in KINDS)


def strangers(ledger: Path) -> list[str]:
    """Return where the ledger itself asks for one kind: an isinstance, a match, or its name compared."""
    names, found = {body.__name__ for body in KINDS.values()}, []
    for file in sorted(ledger.glob("*.py")):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            match node:
                case ast.Call(func=ast.Name(id="isinstance"), args=[_, kinds]):
                    asked = {part.id for part in ast.walk(kinds) if isinstance(part, ast.Name)} & names
                case ast.MatchClass(cls=ast.Name(id=name)):
                    asked = {name} & names
                case ast.Compare(left=left) if ast.unparse(left).endswith(".kind"):
                    asked = {
                        str(part.value) for part in ast.walk(node) if isinstance(part, ast.Constant)
                    } & KINDS.keys()
                case _:
                    continue
            found += [f"{file.name}:{node.lineno}: {name}" for name in sorted(asked)]
    return found


def test_the_ledger_asks_the_table_alone() -> None:
    """Outside bodies and the modules of the kinds nothing in the ledger asks for a kind."""
    assert strangers(LEDGER) == []


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("def f(body): return isinstance(body, Void)", "planted.py:1: Void"),
        ("def f(entry): return entry.kind in ('erase', 'key')", "planted.py:1: erase"),
    ],
)
def test_a_planted_stranger_is_named(tmp_path: Path, line: str, says: str) -> None:
    """A place in the ledger that asks for one kind is found."""
    (tmp_path / "planted.py").write_text(line, "utf-8")
    assert says in strangers(tmp_path)


def test_a_new_kind_is_admitted_refused_and_taken_in(tmp_path: Path, workspace_root: Path) -> None:
    """With a body, its frozen shape and one module a kind is signed, refused by its rule, folded in and made void."""
    package = tmp_path / "warmyard"
    shutil.copytree(PACKAGE, package, ignore=shutil.ignore_patterns("__pycache__", "theme", "runtime"))
    bodies = package / "certify" / "ledger" / "bodies.py"
    before, table, after = bodies.read_text("utf-8").partition("KINDS: dict")
    bodies.write_text(f"{before}{BODY}{table}{after}", "utf-8")
    stored = package / "formats" / "entries.py"
    stored.write_text(stored.read_text("utf-8") + STORED, "utf-8")
    (package / "certify" / "ledger" / "kinds" / "toolkit.py").write_text(KIND, "utf-8")
    done = subprocess.run(
        [sys.executable, "-c", DRIVE],
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(tmp_path), str(workspace_root / "tests" / "shared")])},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == {
        "said": [
            "somebody has tools already",
            "the body is not that of kind toolkit",
            "this key may not sign an entry of kind toolkit",
            "a person is named where none belongs, or none where one does",
        ],
        "again": True,
        "out": 7,
    }
