"""A part of a lesson that is looked up, not read through: under the steps, folded on the screen, open on paper."""

from __future__ import annotations

from warmyard.course.fence import Beginning, Fence
from warmyard.course.grammar import Node


class ReferenceNode(Node, frozen=True, kw_only=True, tag="wy-reference", tag_field="fence"):
    """Reference, right under the heading of level 2 that begins it."""

    say: str
    """One line: why somebody may want it."""


FENCE = Fence(node=ReferenceNode, begins=lambda node: Beginning("reference", 2, say=node.say))
