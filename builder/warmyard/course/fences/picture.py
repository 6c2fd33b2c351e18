"""A drawing with its named points."""

from __future__ import annotations

from warmyard.course.fence import Fence, Named
from warmyard.course.grammar import Node


class PictureNode(Node, frozen=True, kw_only=True, tag="wy-picture", tag_field="fence"):
    """A drawing with its named points."""

    picture: str
    say: str = ""


FENCE = Fence(
    node=PictureNode,
    names=lambda node: [Named("picture", "picture", node.picture)],
)
