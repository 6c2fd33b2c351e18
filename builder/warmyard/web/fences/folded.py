"""Where a folded begins on a page: a mark under its heading, by which web/steps.py cuts the page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.folded import FoldedNode
from warmyard.web.blocks import Writer
from warmyard.web.step_marks import mark


def write(writer: Writer, node: FoldedNode) -> Markup:
    """Return the mark."""
    return mark("folded", writer.rich(node.say, node.place))
