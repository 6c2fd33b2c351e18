"""A set of practice problems on a page."""

from __future__ import annotations

from warmyard.course.fences.practice import PracticeNode
from warmyard.item.render import practice_html
from warmyard.web.blocks import Writer


def write(writer: Writer, node: PracticeNode) -> str:
    """Return the problems, folded; in a step, which opens by itself, they are not."""
    questions, minutes = writer.problems(node.items)
    return practice_html(node.title, questions, writer.workspace.words, 0 if writer.stepped else minutes)
