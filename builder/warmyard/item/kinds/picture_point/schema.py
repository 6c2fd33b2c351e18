"""A picture point item as its source states it."""

from __future__ import annotations

from warmyard.item.model import Item


class PicturePoint(Item, frozen=True, kw_only=True, tag="picture-point"):
    """Point at a part of a drawing; the points are named in the drawing's own file."""

    picture: str
    right: tuple[str, ...]
    points: tuple[str, ...] = ()
    """Points to offer; empty means all of the drawing."""
    why: dict[str, str] = {}
    """Point id -> the mistake it stands for."""
