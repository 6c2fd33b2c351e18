"""What the scripts of a page are made of: the files of the runtime, and data as text that a script may hold."""

from __future__ import annotations

import json
import re
from functools import cache
from importlib.resources import files
from typing import Any

import msgspec

from warmyard.item.kind_table import KINDS, folder_of

HEAD = "var WY = globalThis.WY = globalThis.WY || {};\n"
"""The first line of every script that sets something of the page's own."""
VENDORED = "vendored/"
_NOTES = re.compile(r"^(?:[ \t]*//.*\n|[ \t]*/\*(?:[^*]|\*(?!/))*\*/[ \t]*\n|[ \t]+|\n)", re.MULTILINE)
"""A comment that has its lines for itself, the beginning of a line that is set in, and an empty line."""
_END_TAG = "</", "<\\/"
"""Each end tag costs one letter more; a page of worked steps is full of them."""
_OPENS = re.compile("<(?=!--|script)", re.IGNORECASE)
"""What opens a comment or a script inside a script element."""
_ODD_LINE_ENDS = (("\u2028", "\\u2028"), ("\u2029", "\\u2029"))
"""They end a line, and with it a text, for an old engine."""


KIND_SCRIPTS = tuple(f"kinds/{folder_of(kind)}.js" for kind in KINDS.values())
"""A script for each kind of item, its files joined: how it is answered, and how that is marked."""


@cache
def runtime_text(name: str) -> str:
    """Return one file of the runtime folder, or the script of a kind of item."""
    if name in KIND_SCRIPTS:
        folder = files("warmyard.item.kinds") / name.removeprefix("kinds/").removesuffix(".js")
        scripts = sorted((file for file in folder.iterdir() if file.name.endswith(".js")), key=lambda file: file.name)
        return "".join(file.read_text(encoding="utf-8") for file in scripts)
    return (files("warmyard.page") / "runtime" / name).read_text(encoding="utf-8")


@cache
def lean_text(name: str) -> str:
    """Return a script of the runtime as a site ships it: without notes on lines of their own and without indentation.

    What others wrote stays as it is, with its licence. No script of ours holds a text of several lines.
    """
    text = runtime_text(name)
    return text if name.startswith(VENDORED) else _NOTES.sub("", text)


def inert_json(value: Any) -> str:
    """Return JSON that is JavaScript too, and that can neither end its script element nor open a comment in it.

    Raises ValueError for a number that is not finite.
    """
    return inert(json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")))


def inert(text: str) -> str:
    """Return a text of JSON so that it can neither end its script element nor open a comment in it."""
    for sign, instead in (_END_TAG, *_ODD_LINE_ENDS):
        text = text.replace(sign, instead)
    return _OPENS.sub(r"\\u003c", text)


def bare_json(value: Any) -> bytes:
    """Return JSON that no script may hold before `inert` has been over it: for who takes it apart first."""
    return msgspec.json.encode(value)


def script_of(**values: Any) -> str:
    """Return the script that sets each value under its name: script_of(words={...}) sets WY.words."""
    return HEAD + "".join(f"WY.{name} = {inert_json(value)};\n" for name, value in values.items())
