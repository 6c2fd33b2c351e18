"""A remark beside the text, about a procedure."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.course.fence import Fence, Named
from warmyard.course.grammar import Node
from warmyard.course.shelf import Shelf
from warmyard.errors import SourceError


class RemarkNode(Node, frozen=True, kw_only=True, tag="wy-remark", tag_field="fence"):
    """A remark about a procedure."""

    procedure: str
    say: str


def _check(shelf: Shelf, node: RemarkNode) -> Iterator[SourceError]:
    if not node.say.strip():
        yield SourceError(node.place.within("say"), "a remark says nothing", "write it")


FENCE = Fence(
    node=RemarkNode,
    names=lambda node: [Named("procedure", "procedure", node.procedure)],
    check=_check,
)
