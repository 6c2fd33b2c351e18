"""A caution."""

from __future__ import annotations

from warmyard.course.fence import Fence, Ordered
from warmyard.course.grammar import Node


class CautionNode(Node, frozen=True, kw_only=True, tag="wy-caution", tag_field="fence"):
    """A caution."""

    say: str


FENCE = Fence(
    node=CautionNode,
    orders=lambda node: [Ordered("say", node.say)],
)
