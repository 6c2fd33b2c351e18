"""A procedure with its reasons."""

from __future__ import annotations

from warmyard.course.fence import Fence, Named
from warmyard.course.grammar import Node


class ProcedureNode(Node, frozen=True, kw_only=True, tag="wy-procedure", tag_field="fence"):
    """A procedure with its reasons."""

    procedure: str


FENCE = Fence(
    node=ProcedureNode,
    names=lambda node: [Named("procedure", "procedure", node.procedure)],
)
