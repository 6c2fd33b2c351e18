"""A choice item as its source states it."""

from __future__ import annotations

import msgspec

from warmyard.item.model import Item


class Option(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One answer to choose; `why` is the reason it is right, or the mistake it stands for."""

    id: str
    text: str
    why: str
    right: bool = False


class Choice(Item, frozen=True, kw_only=True, tag="choice"):
    """Choose one, or several."""

    options: tuple[Option, ...]
    several: bool = False
