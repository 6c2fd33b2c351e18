"""What the reliability figures need of a set of answers: counts and sums, and the same with one person left out.

Convention, stated once: ratios of variances (KR-20, KR-21, phi) divide by n on both sides; a spread that is printed
or turned into a z (SD, SEM, Subkoviak's z) divides by n - 1. Correlations are the same under either.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Rows = Sequence[Sequence[int]]
"""A row for each person, in it 0 or 1 for each item; all persons answered the same items."""


@dataclass(frozen=True, slots=True)
class Moments:
    """Persons, items, and the sums of right answers: by item (empty where papers differ), of scores, of squares."""

    n: int
    items: int
    item_sums: tuple[int, ...]
    total: int
    squares: int

    @property
    def mean(self) -> float:
        """Return the mean score in items."""
        return self.total / self.n

    @property
    def variance(self) -> float:
        """Return the variance of the scores, divided by n, in items squared."""
        return (self.n * self.squares - self.total * self.total) / (self.n * self.n)

    @property
    def spread(self) -> float:
        """Return the standard deviation of the scores, divided by n - 1, in items; n at least 2."""
        return math.sqrt(self.variance * self.n / (self.n - 1))

    @property
    def item_variances(self) -> float:
        """Return the sum of p(1 - p) over the items, divided by n."""
        return math.fsum(hits * (self.n - hits) for hits in self.item_sums) / (self.n * self.n)

    def without_row(self, row: Sequence[int]) -> Moments:
        """Return the moments with one such person left out."""
        score = sum(row)
        sums = tuple(hits - answer for hits, answer in zip(self.item_sums, row, strict=True))
        return Moments(self.n - 1, self.items, sums, self.total - score, self.squares - score * score)

    def without_score(self, score: int) -> Moments:
        """Return the moments of scores alone with one such score left out."""
        return Moments(self.n - 1, self.items, (), self.total - score, self.squares - score * score)


def moments_of_rows(rows: Rows) -> Moments:
    """Return the moments of persons who all answered the same items; rows of 0 and 1, of one length."""
    items = len(rows[0]) if rows else 0
    if any(len(row) != items or not set(row) <= {0, 1} for row in rows):
        raise ValueError("rows of 0 and 1 of one length are wanted")
    scores = [sum(row) for row in rows]
    sums = tuple(sum(column) for column in zip(*rows, strict=True))
    return Moments(len(rows), items, sums, sum(scores), sum(score * score for score in scores))


def moments_of_scores(scores: Sequence[int], items: int) -> Moments:
    """Return the moments of scores on papers of one length whose items may differ from person to person."""
    if any(not 0 <= score <= items for score in scores):
        raise ValueError(f"a score lies outside 0 to {items}")
    return Moments(len(scores), items, (), sum(scores), sum(score * score for score in scores))
