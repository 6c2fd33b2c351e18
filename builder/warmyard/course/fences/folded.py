"""A part inside a step that not everybody needs: folded on the screen, open on paper."""

from __future__ import annotations

from warmyard.course.fence import Beginning, Fence
from warmyard.course.grammar import Node


class FoldedNode(Node, frozen=True, kw_only=True, tag="wy-folded", tag_field="fence"):
    """A fold, right under the heading of level 3 that begins it; it ends at the next heading of level 2 or 3."""

    say: str
    """One line: why somebody may want it."""


FENCE = Fence(node=FoldedNode, begins=lambda node: Beginning("folded", 3, say=node.say))
