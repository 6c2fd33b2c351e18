"""A figure and what it is worth: the value never goes without its n and its interval."""

from __future__ import annotations

from dataclasses import dataclass

from warmyard.words.sentence import Sentence, sentence

SMALLEST_N = 30
"""Below this the figure says "n too small" (scheme rule of the house, certification.md A4 row 13)."""
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Interval:
    """Two bounds that hold the true value with the stated confidence, and the method that made them."""

    low: float
    high: float
    method: str
    confidence: float = CONFIDENCE


@dataclass(frozen=True, slots=True)
class Figure:
    """One measured value with n, interval and method; `value` is None where the data give none, and `why` says why."""

    value: float | None
    n: int
    counted: str
    """What n counts: persons, sittings, judges, pairs."""
    interval: Interval | None
    why: str = ""
    enough: int = SMALLEST_N

    @property
    def too_small(self) -> bool:
        """Say whether n is below what the figure needs."""
        return self.n < self.enough

    def sentence(self, decimals: int = 2) -> Sentence:
        """Return the figure as people read it: value, n, interval, method, and "n too small" where it is."""
        size = sentence("figures.size", n=self.n, counted=sentence(f"figures.counted.{self.counted}"))
        small = "_too_small" if self.too_small else ""
        if self.value is None:
            return sentence(f"figures.none{small}", why=self.why, size=size)
        value = f"{self.value:.{decimals}f}"
        if self.interval is None:
            return sentence(f"figures.alone{small}", value=value, size=size, why=self.why)
        return sentence(
            f"figures.bounded{small}", value=value, size=size, percent=f"{self.interval.confidence * 100:g}",
            low=f"{self.interval.low:.{decimals}f}", high=f"{self.interval.high:.{decimals}f}",
            method=self.interval.method,
        )  # fmt: skip

    def as_record(self) -> dict[str, object]:
        """Return the figure as JSON shows it; nothing is left out because it is unwelcome."""
        bounds = self.interval
        return {
            "value": self.value,
            "n": self.n,
            "counted": self.counted,
            "low": None if bounds is None else bounds.low,
            "high": None if bounds is None else bounds.high,
            "confidence": None if bounds is None else bounds.confidence,
            "method": "" if bounds is None else bounds.method,
            "n_too_small": self.too_small,
            "why": self.why,
        }


def no_figure(n: int, counted: str, why: str) -> Figure:
    """Return the figure that the data do not give, with the reason."""
    return Figure(None, n, counted, None, why)
