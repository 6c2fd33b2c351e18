"""Parallel papers: how far their expected difficulties lie apart, before anybody has sat one."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from warmyard.measure.cut import ENOUGH_JUDGES
from warmyard.measure.distributions import student_quantile
from warmyard.measure.figure import CONFIDENCE, Figure, Interval, no_figure

WIDEST_PERCENT = 1.0
"""Papers count as parallel within this difference of their expected scores (set for the demo)."""


@dataclass(frozen=True, slots=True)
class Difference:
    """Two papers and how far their expected scores lie apart, in percent of the items, with sign."""

    first: str
    second: str
    percent: float


def expected_percent(ratings: Sequence[float]) -> float:
    """Return the expected score of a borderline person on a paper, in percent, from one judged chance an item."""
    if not ratings or any(not 0 <= rating <= 1 for rating in ratings):
        raise ValueError("one judged chance from 0 to 1 for each item is wanted")
    return 100 * math.fsum(ratings) / len(ratings)


def differences(papers: Mapping[str, Sequence[float]]) -> list[Difference]:
    """Return the difference of every two papers, the widest first; the ratings are given, so this is exact."""
    expected = {name: expected_percent(ratings) for name, ratings in papers.items()}
    found = [Difference(one, two, expected[one] - expected[two]) for one, two in combinations(sorted(expected), 2)]
    return sorted(found, key=lambda each: (-abs(each.percent), each.first, each.second))


def check_parallel(papers: Mapping[str, Sequence[float]], widest_percent: float = WIDEST_PERCENT) -> list[Difference]:
    """Return the pairs of papers that are further apart than is allowed; an empty list when all are parallel."""
    return [each for each in differences(papers) if round(abs(each.percent), 9) > widest_percent]


def judged_difference(first: Sequence[Sequence[float]], second: Sequence[Sequence[float]]) -> Figure:
    """Return the difference of two papers that the same judges rated, in percent, with Student's interval.

    One row a judge in both, in the same order; the papers may differ in length.
    """
    judges = len(first)
    if judges != len(second):
        raise ValueError("the same judges must rate both papers")
    if judges < 2:
        return no_figure(judges, "judges", "fewer than two judges")
    each = [expected_percent(one) - expected_percent(two) for one, two in zip(first, second, strict=True)]
    mean = math.fsum(each) / judges
    error = math.sqrt(math.fsum((one - mean) ** 2 for one in each) / (judges - 1) / judges)
    half = student_quantile((1 + CONFIDENCE) / 2, judges - 1) * error
    return Figure(mean, judges, "judges", Interval(mean - half, mean + half, "Student's t"), enough=ENOUGH_JUDGES)
