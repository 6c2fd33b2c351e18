"""A drawing to stand inside a page: its ids made its own, its text alternative on it."""

from __future__ import annotations

import re

from markupsafe import Markup, escape

_SVG_HEAD = re.compile(r"^.*?(<svg\b[^>]*>)", re.DOTALL)
_DROPPED = re.compile(r"<(title|desc|metadata)\b[^>]*>.*?</\1>|<!--.*?-->", re.DOTALL)


def inline_svg(svg: str, describes: str, prefix: str) -> Markup:
    """Return a drawing to stand inside a page: its ids made its own, its description as the text alternative."""
    body = _DROPPED.sub("", svg)
    body = re.sub(r'\bid="([^"]+)"', rf'id="{prefix}\1"', body)
    body = re.sub(r"url\(#([^)]+)\)", rf"url(#{prefix}\1)", body)
    body = re.sub(r'href="#([^"]+)"', rf'href="#{prefix}\1"', body)
    head = _SVG_HEAD.match(body)
    if head is None:
        return Markup("")
    opening = re.sub(r'\s(?:width|height|role|aria-[a-z]+)="[^"]*"', "", head.group(1))
    named = opening.replace("<svg", f'<svg role="img" aria-label="{escape(describes)}"', 1)
    return Markup(named + body[head.end() :].strip())
