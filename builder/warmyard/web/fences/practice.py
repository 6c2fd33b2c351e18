"""A set of practice problems on a page."""

from __future__ import annotations

from warmyard.course.fences.practice import PracticeNode
from warmyard.item.render import practice_html
from warmyard.web.blocks import Writer


def write(writer: Writer, node: PracticeNode) -> str:
    """Return the problems, folded; not in a step, which opens by itself, nor where they are the first thing to do."""
    questions, minutes = writer.problems(node.items)
    is_open = writer.stepped or writer.opens_problems
    return practice_html(node.title, questions, writer.workspace.words, 0 if is_open else minutes)
