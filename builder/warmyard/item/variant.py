"""A variant of any item: (item, seed) gives the same question and key every time and everywhere."""

from __future__ import annotations

from warmyard.errors import InputError
from warmyard.item.chance import chance_for, start_of
from warmyard.item.draw import DrawRefused
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant_model import Variant

__all__ = ["DrawRefused", "Surroundings", "make_variant"]


def make_variant(item: Item, seed: int, around: Surroundings) -> Variant:
    """Return the item's variant for a seed (any whole number).

    Raises DrawRefused when a bounded number of draws gives no sensible numbers, SourceError when the item is unsound,
    InputError when it names something that is not there.
    """
    try:
        variant: Variant = kind_of(item).draw(item, seed, around, chance_for(start_of(item.id), seed))
    except KeyError as missing:
        raise InputError(f"the item {item.id} names {missing.args[0]}, which is not there; correct its name") from None
    return variant
