"""HTML templates of the blocks, filled with values; text is escaped unless it is marked as HTML."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

THEME = Path(__file__).parent / "theme"
FOLDER = "assets/wy"
"""Where scripts, styles and data lie in a built site, and in the theme."""


@functools.cache
def templates() -> Environment:
    """Return the templates in theme/blocks."""
    return Environment(
        loader=FileSystemLoader(THEME / "blocks"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def fill(name: str, **values: Any) -> Markup:
    """Return a block template filled with values."""
    return Markup(templates().get_template(f"{name}.html").render(**values))
