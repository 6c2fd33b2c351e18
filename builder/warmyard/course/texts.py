"""The texts inside what sources state, each with its path there, so that a fault in one stands on its line."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from warmyard.errors import Place


def texts_at(value: Any) -> list[tuple[str, str]]:
    """Return path and text of every text inside a struct, its parts and their parts."""
    found: list[tuple[str, str]] = []
    _gather(value, "", found)
    return found


def _gather(value: Any, path: str, found: list[tuple[str, str]]) -> None:
    if isinstance(value, str):
        found.append((path, value))
    elif isinstance(value, msgspec.Struct):
        for name in value.__struct_fields__:
            inner = getattr(value, name)
            if inner and type(inner) is not Place:
                _gather(inner, f"{path}.{name}" if path else name, found)
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            _gather(inner, f"{path}.{name}" if path else str(name), found)
    elif isinstance(value, list | tuple):
        for at, inner in enumerate(value):
            _gather(inner, f"{path}.{at}" if path else str(at), found)
