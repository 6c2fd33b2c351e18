"""An ordering item as its source states it."""

from __future__ import annotations

from warmyard.item.model import Item


class Ordering(Item, frozen=True, kw_only=True, tag="ordering"):
    """Put the steps of a procedure into a valid order; the procedure's partial order marks it."""

    procedure: str
    steps: tuple[str, ...] = ()
    """Steps to show; empty means all."""
