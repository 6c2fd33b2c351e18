"""Parts of a stored whole brought up one at a time, so that a fault in one hides none in another."""

from __future__ import annotations

from typing import Any

import msgspec

from warmyard.formats.register import Format, Plain, bring_up

NAME = "format"
"""Under this key a whole names its format, from version 2 on."""


def named_by(version: int) -> Plain:
    """Return what a whole of some version says of itself: version 1 names no format."""
    return {} if version == 1 else {NAME: version}


def bring_up_part(format_: Format, version: int, whole: Plain, *keys: str | int) -> Plain:
    """Return the part of a whole that the keys lead to, brought up, without the name of its format.

    Raises NewerFormatError and msgspec.ValidationError as `bring_up` does; the path in a complaint begins at the part.
    """
    try:
        found: Any = bring_up(format_, version, whole)
    except msgspec.ValidationError as problem:
        lead = "$" + "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in keys)
        raise msgspec.ValidationError(str(problem).replace(f"`{lead}", "`$", 1)) from None
    for key in keys:
        found = found[key]
    return {key: value for key, value in found.items() if key != NAME}
