"""Problems with new numbers each time."""

from __future__ import annotations

from warmyard.course.fence import Fence
from warmyard.course.grammar import Node
from warmyard.course.problems import check_problems, problems_named


class PracticeNode(Node, frozen=True, kw_only=True, tag="wy-practice", tag_field="fence"):
    """Problems with new numbers each time."""

    title: str
    items: tuple[str, ...]


FENCE = Fence(
    node=PracticeNode,
    names=lambda node: problems_named(node.items),
    check=lambda shelf, node: check_problems(node, node.items),
    filled_in=True,
)
