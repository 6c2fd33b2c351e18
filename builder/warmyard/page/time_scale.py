"""Seconds along a chart of the start: a long time in which nothing changes is drawn short, with a break in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

LONGEST_STILL_SECONDS = 40.0
"""A still time that is longer is drawn as if it took `STILL_SECONDS`."""
STILL_SECONDS = 16.0


@dataclass(frozen=True, slots=True)
class TimeScale:
    """Where the seconds lie, from 0 to 1 along the chart."""

    pieces: tuple[tuple[float, float, float, float], ...]
    """Stretches: from and to in seconds, from and to as drawn."""

    @property
    def breaks(self) -> tuple[float, ...]:
        """The middle of each stretch that is drawn short, from 0 to 1."""
        length = self.pieces[-1][3]
        return tuple((low + high) / 2 / length for start, end, low, high in self.pieces if end - start > high - low)

    def at(self, seconds: float) -> float:
        """Return where a second lies, from 0 to 1."""
        start, end, low, high = next((piece for piece in self.pieces if seconds <= piece[1]), self.pieces[-1])
        return (low + (seconds - start) / (end - start) * (high - low)) / self.pieces[-1][3]

    def marks(self, every_seconds: int) -> tuple[int, ...]:
        """Return the seconds that are marked: none within a stretch that is drawn short."""
        whole = [(start, end) for start, end, low, high in self.pieces if end - start <= high - low]
        last = int(self.pieces[-1][1])
        return tuple(s for s in range(0, last + 1, every_seconds) if any(a <= s <= b for a, b in whole))


def time_scale(moments: Iterable[float], until_seconds: float) -> TimeScale:
    """Return the scale of a chart on which something changes at these moments."""
    drawn, pieces = 0.0, []
    for start, end in pairwise(sorted({0.0, *moments, until_seconds})):
        length = end - start if end - start <= LONGEST_STILL_SECONDS else STILL_SECONDS
        pieces.append((start, end, drawn, drawn + length))
        drawn += length
    return TimeScale(tuple(pieces))
