"""HTML templates of the blocks, filled with values; text is escaped unless it is marked as HTML."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from warmyard.markup import element
from warmyard.words import one_word

THEME = Path(__file__).parent / "theme"
FOLDER = "assets/wy"
"""Where scripts, styles and data lie in a built site, and in the theme."""


@functools.cache
def templates() -> Environment:
    """Return the templates in theme/blocks."""
    made = Environment(
        loader=FileSystemLoader(THEME / "blocks"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(word=word, strong=strong, many=many)
    return made


def word(name: str, /, **parts: Any) -> Markup:
    """Return a word as HTML, its parts put in; a part is escaped unless it is marked as HTML."""
    said = Markup(str(escape(one_word(name))).replace("&#39;", "'"))
    return said.format_map(
        {part: value if isinstance(value, Markup) else escape(value) for part, value in parts.items()}
    )


def strong(name: str, /, **parts: Any) -> Markup:
    """Return a word that is said with weight."""
    return element("strong", word(name, **parts))


def many(count: int, name: str) -> Markup:
    """Return a count with what is counted: the word NAME.one for 1, else NAME.several."""
    return word(f"{name}.{'one' if count == 1 else 'several'}", count=count)


def fill(name: str, **values: Any) -> Markup:
    """Return a block template filled with values."""
    return Markup(templates().get_template(f"{name}.html").render(**values))
