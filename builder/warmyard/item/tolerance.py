"""How near a response must come to the answer."""

from __future__ import annotations

from dataclasses import dataclass

from warmyard.errors import InputError
from warmyard.item.kinds import Answer

WHOLE_REACH = 0.05
"""How near a response must come to a slip's answer where the answer is a whole number that must be met exactly."""


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

    def reach(self, value: float) -> float:
        """Return how near a slip's answer must be met, and half of how far slips must lie apart."""
        return self.of(value) or WHOLE_REACH


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
