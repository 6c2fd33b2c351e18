"""The mark that stands under a heading until the page is cut into its steps, reference and folds."""

from __future__ import annotations

import re

from markupsafe import Markup

from warmyard.markup import element

SCRIPTS = ("steps.js", "paper.js", "aloud.js")
"""What a page of steps loads for them."""
MARKED = re.compile(
    r'<h(?P<level>[23]) id="(?P<id>[^"]+)">(?P<title>(?:(?!</?h\d).)*)</h(?P=level)>\s*'
    r'<wy-part what="(?P<what>\w+)">(?P<say>.*?)</wy-part>',
    re.DOTALL,
)
"""A heading with the mark under it."""


def mark(what: str, say: Markup) -> Markup:
    """Return the mark of a part: what it is, and its line."""
    return element("wy-part", say, what=what)
