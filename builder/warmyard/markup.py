"""Elements of HTML, SVG and MathML: the one place in Python where a tag is put together, its texts escaped.

Pages and blocks are Jinja templates with autoescape. What is drawn or set piece by piece, with a shape that follows
from numbers or from a tree, is made here: element("text", "5 < 6", x=10, text_anchor="end").
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache

from markupsafe import Markup, escape

_SPECIAL = re.compile("[&<>'\"]")
LINE_BREAK = Markup("<br>")
"""The void element of HTML that a text of several lines needs."""


def element(name: str, /, *inside: object, **attributes: object) -> Markup:
    """Return an element around what is inside; what is not Markup is a text, and escaped.

    An attribute keeps its place; None leaves it out, True writes its bare name. `class_` is written class and
    `text_anchor` text-anchor.
    """
    body = "".join(map(_safe, inside))
    return Markup(f"<{name}{_written(attributes)}>{body}</{name}>")


def empty_element(name: str, /, **attributes: object) -> Markup:
    """Return an element of SVG or MathML that holds nothing, closed in its own tag."""
    return Markup(f"<{name}{_written(attributes)}/>")


def joined(parts: Iterable[object]) -> Markup:
    """Return parts one after another; what is not Markup is a text, and escaped."""
    return Markup("".join(map(_safe, parts)))


def _safe(part: object) -> str:
    """Return a part with its text escaped; most of a drawing is numbers and names, which need no look."""
    kind = type(part)
    if kind is Markup or kind is int or kind is float:
        return str(part)
    if kind is str and not _SPECIAL.search(str(part)):
        return str(part)
    return str(escape(part))


def _written(attributes: Mapping[str, object]) -> str:
    written = ""
    for name, value in attributes.items():
        if value is True:
            written += f" {_spelling(name)}"
        elif value is not None:
            written += f' {_spelling(name)}="{_safe(value)}"'
    return written


@cache
def _spelling(name: str) -> str:
    """Return the name of an attribute as it is written: Python has no dash in a name, and keeps `class` for itself."""
    return name.rstrip("_").replace("_", "-")
