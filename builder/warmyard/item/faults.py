"""Faults of an item, each at its file and line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from warmyard.errors import FollowingError, SourceError, SourceKind
from warmyard.fields import offer
from warmyard.item.model import Item

WRITTEN_IN: Mapping[str, SourceKind] = {
    "picture": "picture", "procedure": "procedure", "symptom": "machine", "failure mode": "machine",
}  # fmt: skip
"""What an item names in another source, whose absence is told once for all that name it."""
FEWEST_OPTIONS = 3
"""So many answers or steps at least leave something to think about."""


def fault_of(item: Item, path: str, what: object, what_to_do: str) -> SourceError:
    """Return a fault at a field of an item, with the item's id."""
    return SourceError(item.place.within(path), f"{item.id}: {what}".replace(";", ","), what_to_do)


def unknown(item: Item, path: str, name: str, known: Mapping[str, Any], what: str) -> Iterator[SourceError]:
    """Yield a fault when a name is not among those known, with some that are."""
    if name in known:
        return
    fault = fault_of(item, path, f"there is no {what} {name}", offer(name, known))
    if what in WRITTEN_IN:
        needs = (WRITTEN_IN[what], name)
        yield FollowingError(fault.place, fault.what, fault.what_to_do, needs, names_nothing=True)
    else:
        yield fault
