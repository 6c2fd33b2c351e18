"""A variant of any item: (item, seed) gives the same question and key every time and everywhere."""

from __future__ import annotations

from warmyard.errors import InputError
from warmyard.item.case import case_variant
from warmyard.item.chance import chance_for, start_of
from warmyard.item.choice import choice_variant
from warmyard.item.draw import DrawRefused
from warmyard.item.kinds import Choice, FaultCase, Item, Numeric, Ordering, PicturePoint, Reading
from warmyard.item.ordering import ordering_variant
from warmyard.item.point import point_variant
from warmyard.item.problem import numeric_variant
from warmyard.item.reading import reading_variant
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant_model import Variant

__all__ = ["DrawRefused", "Surroundings", "make_variant"]


def make_variant(item: Item, seed: int, around: Surroundings) -> Variant:
    """Return the item's variant for a seed (any whole number).

    Raises DrawRefused when a bounded number of draws gives no sensible numbers, SourceError when the item is unsound,
    InputError when it names something that is not there.
    """
    chance = chance_for(start_of(item.id), seed)
    try:
        match item:
            case Choice():
                return choice_variant(item, seed, around, chance)
            case Numeric():
                return numeric_variant(item, seed, around, chance)
            case Ordering():
                return ordering_variant(item, seed, around, chance)
            case FaultCase():
                return case_variant(item, seed, around, chance)
            case PicturePoint():
                return point_variant(item, seed, around, chance)
            case Reading():
                return reading_variant(item, seed, around, chance)
    except KeyError as missing:
        raise InputError(f"the item {item.id} names {missing.args[0]}, which is not there; correct its name") from None
