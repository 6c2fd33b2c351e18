"""The scored set at the end of a lesson."""

from __future__ import annotations

from warmyard.course.fence import Fence
from warmyard.course.grammar import Node
from warmyard.course.problems import check_problems, problems_named


class AssessmentNode(Node, frozen=True, kw_only=True, tag="wy-assessment", tag_field="fence"):
    """The scored set at the end of a lesson."""

    title: str
    items: tuple[str, ...]


FENCE = Fence(
    node=AssessmentNode,
    names=lambda node: problems_named(node.items),
    check=lambda shelf, node: check_problems(node, node.items),
    scored=True,
    filled_in=True,
)
