"""The writer of every kind of fence: the module of web/fences with the name of the one in course/fences."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any

from warmyard.course.fence_table import FENCES
from warmyard.course.grammar import Node
from warmyard.errors import InputError
from warmyard.web import fences
from warmyard.web.blocks import Writer


def _writer(name: str) -> Callable[[Writer, Any], str]:
    module = name.removeprefix("wy-").replace("-", "_")
    full = f"{fences.__name__}.{module}"
    try:
        write: Callable[[Writer, Any], str] = import_module(full).write
    except (ModuleNotFoundError, AttributeError) as problem:
        if problem.name not in (full, "write"):
            raise
        file = f"builder/warmyard/web/fences/{module}.py"
        raise InputError(f"the fence {name} has no writer; add the function write to {file}") from None
    return write


WRITERS: Mapping[str, Callable[[Writer, Any], str]] = {name: _writer(name) for name in FENCES}
"""What opens a fence -> what writes it."""


def write_block(writer: Writer, node: Node) -> str:
    """Return the HTML of a fence."""
    return WRITERS[str(node.__struct_config__.tag)](writer, node)
