"""A step of a lesson begins: one idea, and something to do in it."""

from __future__ import annotations

from warmyard.course.fence import Beginning, Fence
from warmyard.course.grammar import Node


class StepNode(Node, frozen=True, kw_only=True, tag="wy-step", tag_field="fence"):
    """A step of a lesson, right under the heading of level 2 that begins it."""

    id: str
    """Name of the step in addresses and records; unique in the lesson, never used again."""
    idea: str
    """One sentence: what the reader can do after the step."""


FENCE = Fence(node=StepNode, begins=lambda node: Beginning("step", 2, node.id, node.idea))
