"""The texts inside what sources state, each with its path there, so that a fault in one stands on its line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import msgspec

from warmyard.errors import Place


def texts_at(value: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Yield path and text of every text inside a struct, its parts and their parts."""
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, Place):
        return
    elif isinstance(value, msgspec.Struct):
        for name in value.__struct_fields__:
            yield from texts_at(getattr(value, name), f"{path}.{name}" if path else name)
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            yield from texts_at(inner, f"{path}.{name}" if path else str(name))
    elif isinstance(value, list | tuple):
        for at, inner in enumerate(value):
            yield from texts_at(inner, f"{path}.{at}" if path else str(at))
