"""How near a response must come to the answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from warmyard.errors import InputError
from warmyard.item.model import Answer

WHOLE_REACH = 0.05
"""How near a response must come to a slip's answer where the answer is a whole number that must be met exactly."""
LARGEST_SHARE = 0.02
"""Largest share of a slip's own value within which it is met, where the tolerance is a number in the unit."""
ROUNDING = 1e-9
"""Relative slack, so that the last bit of a unit conversion never decides a mark."""
RIGHT, NOTHING_KNOWN = -1, -2


@dataclass(frozen=True, slots=True)
class Reach:
    """An answer with its tolerance, and the share of its own value within which a slip is met (0: the tolerance)."""

    answer: float
    tolerance: float
    share: float = 0.0

    def of_slip(self, slip: float) -> float:
        """Return how near a slip's answer must be met.

        Where the tolerance is a share, it is that share of the slip. Where it is a number in the unit, it is that
        number, and more for a slip far above the answer: somebody who forgot a thousand writes 37500 for 37460.
        """
        if self.share:
            return self.share * abs(slip)
        share = min(self.tolerance / abs(self.answer), LARGEST_SHARE) if self.answer else 0.0
        return max(self.tolerance or WHOLE_REACH, share * abs(slip))

    def what_is_met(self, value: float, slips: Sequence[float]) -> int:
        """Return RIGHT when a value meets the answer, else the place of the slip it meets, else NOTHING_KNOWN."""
        if abs(value - self.answer) <= self.tolerance + ROUNDING * max(1.0, abs(self.answer)):
            return RIGHT
        for at, slip in enumerate(slips):
            if abs(value - slip) <= self.of_slip(slip) + ROUNDING * max(1.0, abs(slip)):
                return at
        return NOTHING_KNOWN

    def parts(self, slips: Iterable[float]) -> bool:
        """Say whether no value can meet two of answer and slips: they lie more than both their reaches apart."""
        own = self.tolerance or WHOLE_REACH
        ordered = sorted([(self.answer, own), *((slip, self.of_slip(slip)) for slip in slips)])
        return all(after - before > one + other for (before, one), (after, other) in pairwise(ordered))


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Relative and absolute part; both 0 means a whole number, met exactly."""

    relative: float
    absolute: float
    half_digit: float

    def of(self, answer: float) -> Reach:
        """Return the reach of an answer, its tolerance never less than half the last digit that is written."""
        if self.relative == 0 and self.absolute == 0:
            return Reach(answer, 0.0)
        return Reach(answer, max(self.relative * abs(answer), self.absolute, self.half_digit), self.relative)


def tolerance_of(answer: Answer) -> Tolerance:
    """Return the tolerance that an item's answer states: "2 %", "0.5", or "0" for an exact whole number."""
    text = answer.within.strip()
    share = text.endswith("%")
    try:
        number = float(text.removesuffix("%").strip())
    except ValueError:
        raise InputError(f'within {answer.within!r} is no tolerance; write "2 %" or "0.5"') from None
    if not 0 <= number < (50 if share else 1e9):
        raise InputError(f'within {answer.within!r} is no sensible tolerance; write "2 %" or "0.5"')
    half = 0.5 * 10.0**-answer.decimals
    return Tolerance(number / 100 if share else 0.0, 0.0 if share else number, half)
