"""A name that is not there: one sentence that says which near ones are."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from warmyard.errors import InputError


def must_be_one_of(name: str, known: Iterable[str], kind: str) -> None:
    """Raise InputError naming the near ones when a name is not known."""
    names = list(known)
    if name in names:
        return
    words = set(name.lower().split("-"))
    by_word = [other for other in names if words & set(other.split("-"))]
    near = list(dict.fromkeys([*get_close_matches(name.lower(), names, 3, 0.5), *by_word]))[:4]
    if near:
        raise InputError(f"there is no {kind} {name!r}; near ones are {', '.join(near)}")
    shown = ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")
    raise InputError(f"there is no {kind} {name!r}; there are {shown}")
