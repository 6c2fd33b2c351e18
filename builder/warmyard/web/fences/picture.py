"""A drawing on a page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.picture import PictureNode
from warmyard.web.blocks import Writer
from warmyard.web.drawing import inline_svg
from warmyard.web.fill import fill


def write(writer: Writer, node: PictureNode) -> Markup:
    """Return a drawing with its text alternative and its named parts."""
    picture = writer.workspace.pictures[node.picture]
    writer.pictures += 1
    prefix = f"{writer.page}-p{writer.pictures}-"
    svg = inline_svg(writer.workspace.drawings[picture.id], picture.describes, prefix)
    say = writer.rich(node.say, node.place)
    return fill("picture", picture=picture, svg=svg, say=say, prefix=prefix, edition=writer.edition)
