"""A card to print and hang on the heater."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.course.fence import Fence, Ordered
from warmyard.course.grammar import Node
from warmyard.course.shelf import Shelf
from warmyard.errors import SourceError

MOST_LINES = 12
"""More lines than this do not fit on a card of A5, and nobody reads them beside a running heater."""


class CardNode(Node, frozen=True, kw_only=True, tag="wy-card", tag_field="fence"):
    """A card to print and hang on the heater."""

    title: str
    lines: tuple[str, ...]


def _check(shelf: Shelf, node: CardNode) -> Iterator[SourceError]:
    if not 1 <= len(node.lines) <= MOST_LINES:
        what = f"the card {node.title!r} has {len(node.lines)} lines"
        what_to_do = f"write 1 to {MOST_LINES}, one action each, or make two cards"
        yield SourceError(node.place.within("lines"), what, what_to_do)


FENCE = Fence(
    node=CardNode,
    check=_check,
    orders=lambda node: [Ordered(f"lines.{at}", line, node.title) for at, line in enumerate(node.lines)],
)
