"""Every kind of item and every way of marking, found from the folders of kinds/."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import reduce
from importlib import import_module
from operator import or_
from pkgutil import iter_modules
from typing import Any

from warmyard.item import kinds
from warmyard.item.kind import Kind, Marking
from warmyard.item.model import Item
from warmyard.item.variant_model import Key


def tag_of(item: Item) -> str:
    """Return the name of an item's kind, as its source writes it."""
    return str(item.__struct_config__.tag)


def _found() -> Iterator[Kind[Any]]:
    for folder in iter_modules(kinds.__path__):
        kind: Kind[Any] = import_module(f"warmyard.item.kinds.{folder.name}.kind").KIND
        yield kind


KINDS: Mapping[str, Kind[Any]] = {
    str(kind.struct.__struct_config__.tag): kind for kind in sorted(_found(), key=lambda kind: kind.rank)
}
"""Name of a kind -> its record, by rank."""
MARKINGS: Mapping[type[Key], Marking[Any]] = {kind.marking.key: kind.marking for kind in KINDS.values()}
ITEM: Any = reduce(or_, (kind.struct for kind in KINDS.values()))
"""The union of the structs of all kinds: what an item is read as."""


def kind_of(item: Item) -> Kind[Any]:
    """Return the record of an item's kind."""
    return KINDS[tag_of(item)]


def folder_of(kind: Kind[Any]) -> str:
    """Return the name of the folder in kinds/ that holds a kind."""
    return str(kind.struct.__struct_config__.tag).replace("-", "_")


def marking_of(key: Key) -> Marking[Any]:
    """Return how a response to a key is marked."""
    return MARKINGS[type(key)]
