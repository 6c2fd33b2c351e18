"""Elements of HTML, SVG and MathML: the one place in Python where a tag is put together, its texts escaped.

Pages and blocks are Jinja templates with autoescape. What is drawn or set piece by piece, with a shape that follows
from numbers or from a tree, is made here: element("text", "5 < 6", x=10, text_anchor="end").
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

from markupsafe import Markup, escape

LINE_BREAK = Markup("<br>")
"""The void element of HTML that a text of several lines needs."""


def element(name: str, /, *inside: object, **attributes: object) -> Markup:
    """Return an element around what is inside; what is not Markup is a text, and escaped.

    An attribute keeps its place; None leaves it out, True writes its bare name. `class_` is written class and
    `text_anchor` text-anchor.
    """
    body = "".join(escape(part) for part in inside)
    return Markup(f"<{name}{_written(attributes)}>{body}</{name}>")


def empty_element(name: str, /, **attributes: object) -> Markup:
    """Return an element of SVG or MathML that holds nothing, closed in its own tag."""
    return Markup(f"<{name}{_written(attributes)}/>")


def joined(parts: Iterable[object]) -> Markup:
    """Return parts one after another; what is not Markup is a text, and escaped."""
    return Markup("".join(escape(part) for part in parts))


def _written(attributes: Mapping[str, object]) -> str:
    return "".join(
        f" {_spelling(name)}" if value is True else f' {_spelling(name)}="{escape(value)}"'
        for name, value in attributes.items()
        if value is not None
    )


@cache
def _spelling(name: str) -> str:
    """Return the name of an attribute as it is written: Python has no dash in a name, and keeps `class` for itself."""
    return name.rstrip("_").replace("_", "-")
