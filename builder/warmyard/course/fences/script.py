"""The words to read out on the telephone."""

from __future__ import annotations

from warmyard.course.fence import Fence, Named
from warmyard.course.grammar import Node


class ScriptNode(Node, frozen=True, kw_only=True, tag="wy-script", tag_field="fence"):
    """What to look at before calling, and the words to read out."""

    symptom: str


FENCE = Fence(
    node=ScriptNode,
    of_machine=True,
    names=lambda node: [Named("symptom", "symptom", node.symptom)],
)
