"""What a reader hands in, as far as all kinds read it alike."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

from warmyard.item.variant_model import Mark

Response: TypeAlias = Mapping[str, Any]
Words: TypeAlias = Mapping[str, str]
"""Sentences by id that take the place of the built-in ones."""


def not_understood(reason: str) -> Mark:
    """Return the mark of what is no answer."""
    return Mark(right=False, share=0.0, reason=reason, understood=False)


def named_ids(response: Response, field: str) -> list[str] | None:
    """Return the ids of a response's list, each once; None when it is no list of texts."""
    found = response.get(field)
    if not isinstance(found, list) or not all(isinstance(one, str) for one in found):
        return None
    return list(dict.fromkeys(found))
