"""A remark on a page."""

from __future__ import annotations

from markupsafe import Markup
from warmyard.course.fences.remark import RemarkNode

from warmyard.web.blocks import Writer


def write(writer: Writer, node: RemarkNode) -> Markup:
    """Return the remark with its inlines put in."""
    return Markup('<aside class="wy-remark">{}</aside>').format(writer.rich(node.say, node.place))
