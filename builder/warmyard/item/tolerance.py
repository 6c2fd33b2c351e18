"""How near a response must come to the answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from warmyard.errors import InputError
from warmyard.item.kinds import Answer

WHOLE_REACH = 0.05
"""How near a response must come to a slip's answer where the answer is a whole number that must be met exactly."""
LARGEST_SHARE = 0.02
"""Largest share of a slip's own value within which it is met."""
ROUNDING = 1e-9
"""Relative slack, so that the last bit of a unit conversion never decides a mark."""
RIGHT, NOTHING_KNOWN = -1, -2


def what_is_met(value: float, answer: float, tolerance: float, slips: Sequence[float]) -> int:
    """Return RIGHT when a value meets the answer, else the place of the slip that it meets, else NOTHING_KNOWN."""
    if abs(value - answer) <= tolerance + ROUNDING * max(1.0, abs(answer)):
        return RIGHT
    for at, slip in enumerate(slips):
        if abs(value - slip) <= reach_of(slip, answer, tolerance) + ROUNDING * max(1.0, abs(slip)):
            return at
    return NOTHING_KNOWN


def reach_of(slip: float, answer: float, tolerance: float) -> float:
    """Return how near a slip's answer must be met: never less than the tolerance, more for a slip far above it.

    Who forgot a thousand writes 37500 for 37460; that is as near as the tolerance is to the answer.
    """
    share = min(tolerance / abs(answer), LARGEST_SHARE) if answer else 0.0
    return max(tolerance or WHOLE_REACH, share * abs(slip))


def apart(answer: float, tolerance: float, slips: Iterable[float]) -> bool:
    """Say whether answer and slips lie so far apart that no value can meet two of them: twice the tolerance or more."""
    reach = max(tolerance, WHOLE_REACH if tolerance == 0 else 0.0)
    ordered = sorted([(answer, reach), *((slip, reach_of(slip, answer, tolerance)) for slip in slips)])
    return all(after - before > one + other for (before, one), (after, other) in pairwise(ordered))


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Relative and absolute part; both 0 means a whole number, met exactly."""

    relative: float
    absolute: float
    half_digit: float

    def of(self, value: float) -> float:
        """Return the tolerance for an answer, in the answer's unit: never less than half the last digit written."""
        if self.relative == 0 and self.absolute == 0:
            return 0.0
        return max(self.relative * abs(value), self.absolute, self.half_digit)


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
