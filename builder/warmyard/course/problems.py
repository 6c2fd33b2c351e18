"""What the fences with a set of problems have in common."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from warmyard.course.fence import Named
from warmyard.course.grammar import Node
from warmyard.errors import SourceError


def problems_named(items: Sequence[str]) -> list[Named]:
    """Return the items that a set asks."""
    return [Named(f"items.{at}", "item", name) for at, name in enumerate(items)]


def check_problems(node: Node, items: Sequence[str]) -> Iterator[SourceError]:
    """Yield a fault for a set that asks nothing."""
    if not items:
        yield SourceError(node.place, "a set of problems without items", "name them, items: [ID]")
