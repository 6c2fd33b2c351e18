"""A caution on a page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.caution import CautionNode
from warmyard.web.blocks import Writer
from warmyard.web.fill import fill


def write(writer: Writer, node: CautionNode) -> Markup:
    """Return the caution in its frame."""
    return fill("caution", say=writer.rich(node.say, node.place))
