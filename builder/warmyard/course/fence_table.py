"""Every kind of fence, found from the modules of fences/."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import reduce
from importlib import import_module
from operator import or_
from pkgutil import iter_modules
from typing import Any

from warmyard.course import fences
from warmyard.course.fence import Fence
from warmyard.course.grammar import Node
from warmyard.errors import InputError


def _found() -> Iterator[Fence[Any]]:
    for module in iter_modules(fences.__path__):
        fence: Fence[Any] | None = getattr(import_module(f"{fences.__name__}.{module.name}"), "FENCE", None)
        if fence is None:
            file = f"builder/warmyard/course/fences/{module.name}.py"
            raise InputError(f"{file} holds no FENCE; write FENCE = Fence(node=...), or move it elsewhere")
        yield fence


FENCES: Mapping[str, Fence[Any]] = {str(fence.node.__struct_config__.tag): fence for fence in _found()}
"""What opens a fence, such as "wy-picture" -> its record."""
NODES: Mapping[str, type[Node]] = {name: fence.node for name, fence in FENCES.items()}
FENCE_NODE: Any = reduce(or_, NODES.values())
"""The union of what stands in fences."""


def fence_of(node: Node) -> Fence[Any]:
    """Return the record of what stands in a fence."""
    return FENCES[str(node.__struct_config__.tag)]


def named_in(nodes: Iterable[Node], what: str) -> set[str]:
    """Return the names of one sort of thing, items or formulas, that stand in some fences."""
    return {named.name for node in nodes for named in fence_of(node).names(node) if named.what == what}
