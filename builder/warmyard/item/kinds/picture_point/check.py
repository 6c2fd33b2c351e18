"""Whether a picture point item is sound, and its drawing silent about the answer."""

from __future__ import annotations

import re
from collections.abc import Iterator

from warmyard.errors import SourceError
from warmyard.item.faults import fault_of, unknown
from warmyard.item.kinds.picture_point.draw import words_in_drawing
from warmyard.item.kinds.picture_point.schema import PicturePoint
from warmyard.item.surroundings import Surroundings


def check_point(item: PicturePoint, around: Surroundings) -> Iterator[SourceError]:
    """Yield a picture or a point that is not there, points that do not fit, and an answer written in the drawing."""
    yield from unknown(item, "picture", item.picture, around.pictures, "picture")
    facts = around.pictures.get(item.picture)
    if facts is None:
        return
    offered = item.points or tuple(facts.points)
    named = (("right", item.right), ("points", item.points), ("why", tuple(item.why)))
    lost = [
        fault
        for path, names in named
        for name in names
        for fault in unknown(item, path, name, facts.points, f"point in {item.picture}:")
    ]
    if lost:
        yield from lost
        return
    if not item.right or not set(item.right) <= set(offered) or len(set(offered) - set(item.right)) < 2:
        what_to_do = "name a right point among those offered, and leave two or more wrong ones"
        yield fault_of(item, "right", "right and offered points do not fit", what_to_do)
    written = words_in_drawing(facts.svg).lower()
    for name in item.right:
        text = facts.points.get(name, "")
        if text and re.search(rf"\b{re.escape(text.lower())}\b", written):
            what_to_do = f'give that text in {item.picture}.svg class="wy-label"'
            yield fault_of(item, "right", f"the drawing writes {text} beside the part that is asked", what_to_do)
