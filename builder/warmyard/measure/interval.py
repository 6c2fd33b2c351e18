"""Intervals: Wilson for reports, Clopper-Pearson for claims, Fisher for correlations, the jackknife for the rest."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TypeVar

from warmyard.measure.distributions import NORMAL, beta_quantile
from warmyard.measure.figure import CONFIDENCE, Figure, Interval, no_figure
from warmyard.words.sentence import sentence

SMALLEST_HALF_WIDTH = 1e-6
Row = TypeVar("Row")


def wilson(hits: int, n: int, confidence: float = CONFIDENCE) -> Interval:
    """Return Wilson's score interval of a share, without continuity correction; n at least 1."""
    _verify_count(hits, n)
    z = NORMAL.inv_cdf((1 + confidence) / 2)
    share, spread = hits / n, z * z / n
    middle = (share + spread / 2) / (1 + spread)
    half = z * math.sqrt(share * (1 - share) / n + spread / (4 * n)) / (1 + spread)
    low = 0.0 if hits == 0 else max(0.0, middle - half)
    high = 1.0 if hits == n else min(1.0, middle + half)
    return Interval(low, high, "Wilson", confidence)


def clopper_pearson(hits: int, n: int, confidence: float = CONFIDENCE) -> Interval:
    """Return the exact two-sided interval of a share after Clopper and Pearson; n at least 1."""
    tail = (1 + confidence) / 2
    return Interval(lower_bound(hits, n, tail), upper_bound(hits, n, tail), "Clopper-Pearson", confidence)


def upper_bound(hits: int, n: int, confidence: float = CONFIDENCE) -> float:
    """Return the exact one-sided upper bound of a share: what may still be true, for claims such as "0 in 20"."""
    _verify_count(hits, n)
    return 1.0 if hits == n else beta_quantile(confidence, hits + 1, n - hits)


def lower_bound(hits: int, n: int, confidence: float = CONFIDENCE) -> float:
    """Return the exact one-sided lower bound of a share."""
    _verify_count(hits, n)
    return 0.0 if hits == 0 else beta_quantile(1 - confidence, hits, n - hits + 1)


def _verify_count(hits: int, n: int) -> None:
    if not 0 <= hits <= n or n < 1:
        raise ValueError(f"{hits} of {n} is not a share")


def share_figure(hits: int, n: int, counted: str) -> Figure:
    """Return a share with Wilson's interval, or none when nothing was counted."""
    if n == 0:
        return no_figure(0, counted, sentence("figures.why.none_counted"))
    return Figure(hits / n, n, counted, wilson(hits, n))


def fisher(correlation: float, n: int, confidence: float = CONFIDENCE) -> Interval | None:
    """Return Fisher's interval of a correlation, or None when n is 3 or less or the correlation is perfect."""
    if n <= 3 or abs(correlation) >= 1:
        return None
    middle, half = math.atanh(correlation), NORMAL.inv_cdf((1 + confidence) / 2) / math.sqrt(n - 3)
    return Interval(math.tanh(middle - half), math.tanh(middle + half), "Fisher's z", confidence)


def jackknife(
    counts: Mapping[Row, int], without: Callable[[Row], float | None], value: float, low: float, high: float
) -> Interval | None:
    """Return the interval of any figure by leaving out one person at a time, cut off at the figure's own bounds.

    `counts` says how many persons gave each row; `without` computes the figure without one such person.
    None when some person's absence leaves no figure at all, or nobody's absence changes it: then the data say nothing
    about its error, and an interval without width would claim that they do. Method: Tukey's jackknife (memory).
    """
    n = sum(counts.values())
    left_out = [(count, without(row)) for row, count in counts.items()]
    values = [(count, each) for count, each in left_out if each is not None]
    if n < 3 or len(values) < len(left_out):
        return None
    mean = math.fsum(count * each for count, each in values) / n
    error = math.sqrt((n - 1) / n * math.fsum(count * (each - mean) ** 2 for count, each in values))
    half = NORMAL.inv_cdf((1 + CONFIDENCE) / 2) * error
    if half <= SMALLEST_HALF_WIDTH:
        return None
    return Interval(max(low, value - half), min(high, value + half), sentence("figures.jackknife"))
