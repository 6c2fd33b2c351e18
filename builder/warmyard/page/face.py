"""The table of colours and named values: read for sheets, drawings and icons, and made whole for pages."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from warmyard.page.javascript import runtime_text

FACE = "face.css"
SCHEMES = {
    "light": '[data-wy-look="light"]',
    "dark": '[data-wy-look="dark"]',
    "sun": '[data-wy-look="sun"]',
    "print": "[data-wy-look]",
}
"""Scheme -> what its rule in the table is called by."""
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_RULE = re.compile(r"([^{};]+)\{([^{}]*)\}")
_VALUE = re.compile(r"--wy-([a-z0-9-]+):\s*([^;]+);")
_NO_CHOICE = ":root:not([data-wy-look])"
"""A page for which nobody chose, or that has no switch of colours, follows the device."""


@cache
def face_css() -> str:
    """Return the table as a page needs it: what the reader may choose, the device may ask for too.

    The rules for a device are made from those for a choice, so that each colour is typed once.
    """
    dark, sun = _declarations("dark"), _declarations("sun")
    return runtime_text(FACE) + "".join(
        f"@media screen and {asked} {{\n{selector} {{{declarations}}}\n}}\n"
        for asked, selector, declarations in (
            ("(prefers-contrast: more)", f"{_NO_CHOICE}, {SCHEMES['light']}", sun),
            ("(prefers-color-scheme: dark)", _NO_CHOICE, dark),
            ("(prefers-contrast: more) and (prefers-color-scheme: dark)", _NO_CHOICE, _declarations("dark", 1)),
        )
    )


@cache
def colours(scheme: str) -> Mapping[str, str]:
    """Return the colours of a scheme, name -> `#rrggbb`; schemes are those of SCHEMES.

    Paper is printed in the colours of `print`; an icon stands on any ground and takes those of `light`.
    """
    return {name: value.strip() for name, value in _VALUE.findall(_declarations(scheme))}


def _declarations(scheme: str, at: int = 0) -> str:
    """Return what stands in the braces of a scheme's rule; `at` counts rules of the same name."""
    found = [
        body
        for selectors, body in _RULE.findall(_COMMENT.sub("", runtime_text(FACE)))
        if SCHEMES[scheme] in (one.strip() for one in selectors.split(","))
    ]
    return str(found[at])
