"""Data in a script: whatever it holds, it stays data, for the reader of HTML, of JSON and of JavaScript."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import quickjs
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from warmyard.page.javascript import VENDORED, inert_json, lean_text, runtime_text, script_of
from warmyard.page.payload import PRACTICE_SCRIPTS

HOSTILE = (
    "</script><script>alert(1)</script>",
    "</SCRIPT >",
    "<!-- <script>",
    "<!--",
    "]]>",
    "a\u2028b\u2029c",
    'it\'s "quoted" and `ticked` and \\\\ slashed \\',
    "${x} <\\/script>",
    "&lt;/script&gt;",
)
TREES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.text() | st.sampled_from(HOSTILE),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=8,
)


@given(TREES)
def test_inert_json_cannot_end_its_element_and_comes_back(value: Any) -> None:
    """No end tag, comment, script or odd line end stands in it, and reading it gives the value."""
    text = inert_json(value)
    for sign in ("</", "<!--", "<script", "\u2028", "\u2029"):
        assert sign not in text.lower()
    assert json.loads(text) == value


@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_text_is_the_same_text_in_the_page(text: str) -> None:
    """A parser of HTML finds one script element and no other, and an engine of JavaScript finds the text in it."""
    page = BeautifulSoup(f"<script>{script_of(said={'text': text, text: 1})}</script><p>after</p>", "html.parser")
    (script,) = page.find_all("script")
    assert page.p is not None
    context = quickjs.Context()
    context.eval(str(script.string))
    assert json.loads(context.eval("JSON.stringify(WY.said)")) == {"text": text, text: 1}


def test_one_script_sets_several_values() -> None:
    """Each value stands under its own name, and what another script set before stays."""
    context = quickjs.Context()
    context.eval(script_of(words={"a": "A"}))
    context.eval(script_of(words={"a": "B"}, site={"id": "yard"}))
    assert context.eval("WY.words.a + WY.site.id") == "Byard"


def test_a_number_that_is_none_is_refused() -> None:
    """JSON has no word for it, and a page would take null for it."""
    with pytest.raises(ValueError, match="not JSON compliant"):
        script_of(share=float("nan"))


def test_nobody_else_writes_json_into_a_script(workspace_root: Path) -> None:
    """In the layers of the pages every script of the page's own begins with the one line, written in one file."""
    package = workspace_root / "builder" / "warmyard"
    own = re.compile(r"globalThis\.WY|chr\(92\)|<\\\\/")
    writers = {
        file.relative_to(package).as_posix()
        for layer in ("formula", "machine", "item", "page", "web")
        for file in (package / layer).rglob("*.py")
        if own.search(file.read_text("utf-8"))
    }
    assert writers == {"page/javascript.py"}


def test_a_lean_script_loses_notes_and_indentation_alone() -> None:
    """Every line that says something is there in its order, without the room before it; what others wrote is whole."""
    for name in PRACTICE_SCRIPTS:
        if name.startswith(VENDORED):
            assert lean_text(name) == runtime_text(name)
            continue
        bare = re.sub(r"^\s*/\*.*?\*/\s*$", "", runtime_text(name), flags=re.DOTALL | re.MULTILINE)
        lines = [line.strip() for line in bare.splitlines()]
        said = [line for line in lines if line and not line.startswith("//")]
        assert [line.rstrip() for line in lean_text(name).splitlines()] == said


def test_no_script_of_ours_holds_a_text_of_several_lines() -> None:
    """So that no line of a text is taken for a note or for indentation."""
    for name in PRACTICE_SCRIPTS:
        if not name.startswith(VENDORED):
            code = re.sub(r"^\s*//.*$", "", runtime_text(name), flags=re.MULTILINE)
            code = re.sub(r"/\*.*?\*/", "", code, flags=re.DOTALL)
            assert not re.search(r"\\$", code, re.MULTILINE), name
            assert "`" not in re.sub(r"\s//.*$", "", code, flags=re.MULTILINE), name
