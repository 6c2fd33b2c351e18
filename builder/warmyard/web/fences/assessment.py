"""The scored set of a lesson on its page."""

from __future__ import annotations

from warmyard.course.fences.assessment import AssessmentNode
from warmyard.item.render import assessment_html
from warmyard.web.blocks import Writer


def write(writer: Writer, node: AssessmentNode) -> str:
    """Return the scored set, folded; it is kept under the lesson's id. In steps no problem is printed twice."""
    above = frozenset(writer.items) & frozenset(node.items) if writer.stepped else frozenset()
    questions, minutes = writer.problems(node.items)
    return assessment_html(writer.page, node.title, questions, writer.workspace.words, minutes, above)
