"""The cut: set by judges, and what it does to people who know more or less than it asks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from warmyard.measure.distributions import binomial_at_least, student_quantile
from warmyard.measure.figure import CONFIDENCE, Figure, Interval

ENOUGH_JUDGES = 5
"""Panel size of the scheme; a small company prints its standard error and says how few they were."""


@dataclass(frozen=True, slots=True)
class JudgedCut:
    """What a panel found by the modified Angoff method."""

    sums: tuple[float, ...]
    """Each judge's sum over the items: the score of the person who only just may go."""
    mean: Figure
    """Panel mean in items, with Student's interval; n counts judges."""
    spread: float
    """Standard deviation between judges, divided by n - 1, in items."""
    standard_error: float
    cut: int
    """Whole items wanted: the mean, rounded up."""
    items: int

    @property
    def percent(self) -> float:
        """Return the mean as percent of the items."""
        return 100 * (self.mean.value or 0.0) / self.items


def judge_cut(ratings: Sequence[Sequence[float]]) -> JudgedCut:
    """Return the cut of a panel.

    A row for each judge, two or more; in it, for each item, the chance (0 to 1) that a borderline person has it right.
    Cut = mean of the judges' sums, standard error = SD / sqrt(judges)
    (Shulruf and others 2016, BMC Medical Education 16:134; MacCann and Stanley 2004, PARE 9(5)).
    """
    items = len(ratings[0]) if ratings else 0
    if len(ratings) < 2 or items == 0 or any(len(row) != items for row in ratings):
        raise ValueError("two judges or more are wanted, each with one rating for each item")
    if any(not 0 <= rating <= 1 for row in ratings for rating in row):
        raise ValueError("a rating is a chance from 0 to 1")
    sums = tuple(math.fsum(row) for row in ratings)
    judges = len(sums)
    mean = math.fsum(sums) / judges
    spread = math.sqrt(math.fsum((each - mean) ** 2 for each in sums) / (judges - 1))
    error = spread / math.sqrt(judges)
    half = student_quantile((1 + CONFIDENCE) / 2, judges - 1) * error
    interval = Interval(max(0.0, mean - half), min(float(items), mean + half), "Student's t")
    figure = Figure(mean, judges, "judges", interval, enough=ENOUGH_JUDGES)
    return JudgedCut(sums, figure, spread, error, whole_cut(mean), items)


def whole_cut(mean_items: float) -> int:
    """Return the whole number of items that a cut asks for: rounded up, but not by a rounding error of the sum."""
    return math.ceil(round(mean_items, 9))


def cut_of_percent(percent: float, items: int) -> int:
    """Return the whole number of items that a cut in percent asks for."""
    return whole_cut(percent * items / 100)


def chance_of_pass(true_share: float, items: int, cut: int) -> float:
    """Return the chance that somebody who knows `true_share` of the field reaches the cut (binomial error model)."""
    return binomial_at_least(cut, items, true_share)


def false_pass(true_share: float, items: int, cut: int) -> float:
    """Return the chance that somebody below the cut passes; the true share must lie below it."""
    if true_share * items >= cut:
        raise ValueError(f"a true share of {true_share:g} is not below {cut} of {items}")
    return chance_of_pass(true_share, items, cut)


def false_fail(true_share: float, items: int, cut: int) -> float:
    """Return the chance that somebody at or above the cut fails; the true share must not lie below it."""
    if true_share * items < cut:
        raise ValueError(f"a true share of {true_share:g} lies below {cut} of {items}")
    return 1 - chance_of_pass(true_share, items, cut)


def chance_in_tries(chance: float, tries: int) -> float:
    """Return the chance of at least one pass in so many tries on fresh papers; re-sits raise false passes most."""
    return 1 - (1 - chance) ** tries


@dataclass(frozen=True, slots=True)
class CutChance:
    """What a cut does to people of one true share: an exact result of the model, so it has no sampling interval."""

    true_share: float
    items: int
    cut: int
    passes: float
    passes_in_tries: float
    is_false: str
    """"pass" when such a person should not pass, "fail" when not passing is the error."""
    error: float
    """The chance of that error at one try."""


def chances_at_cut(items: int, cut: int, true_shares: Sequence[float], tries: int = 1) -> list[CutChance]:
    """Return for each stated true share how often such a person passes, once and in `tries` tries."""
    return [_chance_at_cut(share, items, cut, tries) for share in true_shares]


def _chance_at_cut(share: float, items: int, cut: int, tries: int) -> CutChance:
    chance = chance_of_pass(share, items, cut)
    below = share * items < cut
    error = false_pass(share, items, cut) if below else false_fail(share, items, cut)
    return CutChance(share, items, cut, chance, chance_in_tries(chance, tries), "pass" if below else "fail", error)
