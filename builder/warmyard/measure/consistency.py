"""Would the same person get the same decision again: agreement, phi(lambda), and the error of a score."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from warmyard.measure.distributions import NORMAL, beta_points, binomial_at_least, both_below
from warmyard.measure.figure import Figure, no_figure
from warmyard.measure.interval import jackknife, share_figure
from warmyard.measure.items import kr20, kr20_of
from warmyard.measure.moments import Moments, Rows, moments_of_rows, moments_of_scores
from warmyard.words.sentence import sentence


@dataclass(frozen=True, slots=True)
class Scores:
    """Scores on papers of one length whose items may differ: the case of papers drawn by blueprint.

    With items nested in persons the reliability is KR-21 and phi is its equal (Brennan and Kane 1977, memory).
    """

    scores: tuple[int, ...]
    items: int


Answers = Rows | Scores
Statistic = Callable[[Moments], float | None]


def kr21_of(moments: Moments) -> float | None:
    """Return KR-21 from mean and variance of scores, or None when they do not vary (1937, memory)."""
    k, mean, variance = moments.items, moments.mean, moments.variance
    if moments.n < 2 or k < 2 or variance <= 0:
        return None
    return k / (k - 1) * (1 - mean * (k - mean) / (k * variance))


def reliability_of(moments: Moments) -> float | None:
    """Return KR-20 where all answered the same items, else KR-21."""
    return kr20_of(moments) if moments.item_sums else kr21_of(moments)


def phi_lambda_of(moments: Moments, cut_share: float) -> float | None:
    """Return Brennan's index of dependability at a cut, from scores (1980, 1984; memory)."""
    k, share = moments.items, moments.mean / moments.items
    variance = moments.variance / (k * k)
    below = (share - cut_share) ** 2 + variance
    if moments.n < 2 or k < 2 or below <= 0:
        return None
    return 1 - (share * (1 - share) - variance) / (k - 1) / below


def phi_of(moments: Moments) -> float | None:
    """Return phi from the variance components of persons crossed with items (Brennan and Kane 1977, memory)."""
    n, k = moments.n, moments.items
    if n < 2 or k < 2 or not moments.item_sums:
        return None
    grand = moments.total / (n * k)
    persons = moments.squares / k - n * k * grand * grand
    items = math.fsum(hits * hits for hits in moments.item_sums) / n - n * k * grand * grand
    rest = moments.total - n * k * grand * grand - persons - items
    error = rest / ((n - 1) * (k - 1))
    of_persons = (persons / (n - 1) - error) / k
    of_items = (items / (k - 1) - error) / n
    whole = of_persons + (of_items + error) / k
    return None if whole <= 0 else of_persons / whole


def distance_to_cut(moments: Moments, cut: int) -> float | None:
    """Return Subkoviak's z: how many standard deviations the cut, less half an item, lies above the mean."""
    return None if moments.n < 2 or moments.variance <= 0 else (cut - 0.5 - moments.mean) / moments.spread


def subkoviak(z: float, reliability: float) -> tuple[float, float]:
    """Return agreement and kappa of two parallel papers at a cut z, by the bivariate normal itself.

    Subkoviak (1988) printed a table of this; two of its cells look like misprints, so it is computed.
    """
    below = NORMAL.cdf(z)
    agreement = 1 - 2 * (below - both_below(z, reliability))
    return agreement, beyond_chance(agreement, 1 - 2 * below * (1 - below))


def beyond_chance(agreement: float, by_chance: float) -> float:
    """Return kappa: the part of the agreement that chance does not explain; 0 when chance explains all."""
    return 0.0 if by_chance >= 1 else (agreement - by_chance) / (1 - by_chance)


def _subkoviak_of(moments: Moments, cut: int, which: int) -> float | None:
    z, reliability = distance_to_cut(moments, cut), reliability_of(moments)
    return None if z is None or reliability is None else subkoviak(z, reliability)[which]


@dataclass(frozen=True, slots=True)
class TrueScores:
    """A beta distribution of true shares between two bounds, and the length of the paper that fits the scores."""

    a: float
    b: float
    low: float
    high: float
    length: int


@dataclass(frozen=True, slots=True)
class Consistency:
    """Two parallel papers at one cut: both pass, same decision, same by chance, kappa."""

    both_pass: float
    agreement: float
    by_chance: float
    kappa: float


def livingston_lewis(true: TrueScores, cut: int) -> Consistency:
    """Return decision consistency at a cut in items of the effective length.

    Livingston and Lewis (1995, memory): binomial scores of the effective length over a beta of true shares.
    """
    both = one = same = 0.0
    for at, weight in beta_points(true.a, true.b):
        share = true.low + (true.high - true.low) * at
        passes = binomial_at_least(cut, true.length, share)
        both += weight * passes * passes
        one += weight * passes
        same += weight * (passes * passes + (1 - passes) ** 2)
    by_chance = one * one + (1 - one) ** 2
    return Consistency(both, same, by_chance, beyond_chance(same, by_chance))


def fit_true_scores(moments: Moments) -> TrueScores | None:
    """Return the beta of true shares from 0 to 1 that has their mean and variance, or None where none has.

    Two moments only: four-parameter fits need more persons than a hire company ever examines.
    """
    reliability = reliability_of(moments)
    k = moments.items
    mean, variance = moments.mean / k, moments.variance / (k * k)
    if reliability is None or not 0 < reliability < 1:
        return None
    true_variance = reliability * variance
    size = mean * (1 - mean) / true_variance - 1
    length = round((mean * (1 - mean) - true_variance) / (variance * (1 - reliability)))
    if size <= 0 or length < 1:
        return None
    return TrueScores(mean * size, (1 - mean) * size, 0.0, 1.0, length)


def _livingston_lewis_of(moments: Moments, cut: int) -> float | None:
    fitted = fit_true_scores(moments)
    if fitted is None:
        return None
    effective_cut = math.ceil(round(cut * fitted.length / moments.items, 9))
    return livingston_lewis(fitted, effective_cut).agreement


def error_of(moments: Moments) -> float | None:
    """Return the standard error of measurement in items, SD (n - 1) times sqrt(1 - reliability)."""
    reliability = reliability_of(moments)
    return None if reliability is None else moments.spread * math.sqrt(max(0.0, 1 - reliability))


def reliability(answers: Answers) -> Figure:
    """Return KR-20 with Feldt's interval or, where papers differ, KR-21 with a jackknife interval."""
    return _figure(answers, kr21_of, -math.inf, 1.0) if isinstance(answers, Scores) else kr20(answers)


def phi(answers: Rows) -> Figure:
    """Return phi of persons who answered the same items."""
    return _figure(answers, phi_of, -math.inf, 1.0)


def phi_lambda(answers: Answers, cut_share: float) -> Figure:
    """Return phi(lambda) at a cut given as a share of the items."""
    return _figure(answers, lambda moments: phi_lambda_of(moments, cut_share), -math.inf, 1.0)


def subkoviak_agreement(answers: Answers, cut: int) -> Figure:
    """Return the share of persons who would get the same decision on a parallel paper (Subkoviak)."""
    return _figure(answers, lambda moments: _subkoviak_of(moments, cut, 0), 0.0, 1.0)


def subkoviak_kappa(answers: Answers, cut: int) -> Figure:
    """Return Subkoviak's kappa of the decision at a cut in items."""
    return _figure(answers, lambda moments: _subkoviak_of(moments, cut, 1), -1.0, 1.0)


def livingston_lewis_agreement(answers: Answers, cut: int) -> Figure:
    """Return the share of persons who would get the same decision again (Livingston and Lewis)."""
    return _figure(answers, lambda moments: _livingston_lewis_of(moments, cut), 0.0, 1.0)


def measurement_error(answers: Answers) -> Figure:
    """Return the standard error of measurement in items; two on either side of a score hold the true one in 95 %."""
    return _figure(answers, error_of, 0.0, math.inf)


def _figure(answers: Answers, statistic: Statistic, low: float, high: float) -> Figure:
    if isinstance(answers, Scores):
        moments = moments_of_scores(answers.scores, answers.items)
        value = statistic(moments) if moments.n else None
        scores = Counter(answers.scores)
        interval = value is not None and jackknife(
            scores, lambda score: statistic(moments.without_score(score)), value, low, high
        )
    else:
        moments = moments_of_rows(answers)
        value = statistic(moments) if moments.n else None
        rows = Counter(map(tuple, answers))
        interval = value is not None and jackknife(
            rows, lambda row: statistic(moments.without_row(row)), value, low, high
        )
    if value is None:
        return no_figure(moments.n, "persons", sentence("figures.why.alike"))
    why = "" if interval else sentence("figures.why.answers_say_nothing")
    return Figure(value, moments.n, "persons", interval or None, why)


def near_cut(answers: Scores, cut: int) -> Figure:
    """Return the share of scores within one standard error of measurement of the cut: what chance may have decided."""
    error = measurement_error(answers).value
    if error is None:
        return no_figure(len(answers.scores), "persons", sentence("figures.why.alike"))
    return share_figure(sum(abs(score - cut) <= error for score in answers.scores), len(answers.scores), "persons")


def as_scores(scores: Sequence[int], items: int) -> Scores:
    """Return scores of papers of one length, checked."""
    moments_of_scores(scores, items)
    return Scores(tuple(scores), items)
