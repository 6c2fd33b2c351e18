"""An odd-one item as its source states it."""

from __future__ import annotations

from warmyard.item.model import Item


class OddOne(Item, frozen=True, kw_only=True, tag="odd-one"):
    """Name the one that does not belong to the others."""

    belong: dict[str, str]
    """Thing -> why it belongs."""
    odd: str
    odd_why: str
