"""A drawing to stand inside a page: its ids made its own, its text alternative on it."""

from __future__ import annotations

import re

from markupsafe import Markup

from warmyard.markup import element

_SVG = re.compile(r"^.*?<svg\b([^>]*)>(.*)</svg\s*>", re.DOTALL)
_ATTRIBUTE = re.compile(r"""([^\s=]+)\s*=\s*(?:"([^"]*)"|'([^']*)')""")
_SAID_BY_PAGE = re.compile(r"width|height|role|aria-[a-z]+")
"""What a drawing says of itself that the page says for it."""
_DROPPED = re.compile(r"<(title|desc|metadata)\b[^>]*>.*?</\1>|<!--.*?-->", re.DOTALL)


def inline_svg(svg: str, describes: str, prefix: str) -> Markup:
    """Return a drawing to stand inside a page: its ids made its own, its description as the text alternative."""
    body = _DROPPED.sub("", svg)
    body = re.sub(r'\bid="([^"]+)"', rf'id="{prefix}\1"', body)
    body = re.sub(r"url\(#([^)]+)\)", rf"url(#{prefix}\1)", body)
    body = re.sub(r'href="#([^"]+)"', rf'href="#{prefix}\1"', body)
    found = _SVG.match(body)
    if found is None:
        return Markup("")
    own = {
        name: Markup(double or single)
        for name, double, single in _ATTRIBUTE.findall(found.group(1))
        if not _SAID_BY_PAGE.fullmatch(name)
    }
    return element("svg", Markup(found.group(2).lstrip()), role="img", aria_label=describes, **own)
