"""Where a step begins on a page: a mark under its heading, by which web/steps.py cuts the page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.step import StepNode
from warmyard.web.blocks import Writer
from warmyard.web.step_marks import mark


def write(writer: Writer, node: StepNode) -> Markup:
    """Return the mark."""
    return mark("step", writer.rich(node.idea, node.place))
