"""A seeded generator of our own: the same seed gives the same draw in every Python and on every machine."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from typing import TypeVar

Thing = TypeVar("Thing")

_WORD = 0xFFFFFFFFFFFFFFFF
_STEP = 0x9E3779B97F4A7C15


def start_of(name: str) -> int:
    """Return a 64-bit start that belongs to a name, so that two items with one seed draw differently."""
    return int.from_bytes(sha256(name.encode()).digest()[:8], "big")


def chance_for(start: int, seed: int) -> Chance:
    """Return the generator of one draw: `start` belongs to the item, `seed` is any whole number."""
    return Chance(_mixed(start ^ _mixed((seed + _STEP) & _WORD)))


class Chance:
    """SplitMix64: a 64-bit counter and a mixing function.

    Source: Steele, Lea, Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014; the first outputs for
    the seed 1234567 are in its published test vector.
    """

    __slots__ = ("state",)

    def __init__(self, state: int) -> None:
        self.state = state & _WORD

    def word(self) -> int:
        """Return the next 64-bit number."""
        self.state = (self.state + _STEP) & _WORD
        return _mixed(self.state)

    def below(self, count: int) -> int:
        """Return a whole number from 0 up to, not including, count; count is far below 2**64, so no bias is seen."""
        return (self.word() * count) >> 64

    def pick(self, things: Sequence[Thing]) -> Thing:
        """Return one of the things."""
        return things[self.below(len(things))]

    def mixed(self, things: Sequence[Thing]) -> list[Thing]:
        """Return the things in a drawn order (Fisher and Yates)."""
        left = list(things)
        for at in range(len(left) - 1, 0, -1):
            other = self.below(at + 1)
            left[at], left[other] = left[other], left[at]
        return left


def _mixed(word: int) -> int:
    word = ((word ^ (word >> 30)) * 0xBF58476D1CE4E5B9) & _WORD
    word = ((word ^ (word >> 27)) * 0x94D049BB133111EB) & _WORD
    return word ^ (word >> 31)
