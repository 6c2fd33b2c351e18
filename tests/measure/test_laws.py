"""Laws that the figures obey whatever the data."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from warmyard.measure import agreement, consistency, cut, distributions, forms, interval, items
from warmyard.measure.moments import moments_of_rows, moments_of_scores

# A slow machine is no broken law: speed is for tests/bench.
settings.register_profile("laws", deadline=None)
settings.load_profile("laws")

shares = st.floats(0.001, 0.999)
sizes = st.floats(0.1, 80)
correlations = st.floats(-0.99, 0.99)
counted = st.integers(1, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
answer_rows = st.integers(2, 6).flatmap(
    lambda k: st.lists(st.tuples(*[st.integers(0, 1)] * k), min_size=4, max_size=25)
)
panels = st.integers(1, 8).flatmap(
    lambda k: st.lists(st.lists(st.integers(0, 20), min_size=k, max_size=k), min_size=2, max_size=7)
)
tables = st.integers(2, 4).flatmap(
    lambda k: st.lists(st.lists(st.integers(0, 30), min_size=k, max_size=k), min_size=k, max_size=k)
)


@given(sizes, sizes, shares)
def test_the_two_tails_of_a_beta_make_one(a: float, b: float, x: float) -> None:
    """I_x(a, b) and I_(1-x)(b, a) add up to 1, by two different fractions or one."""
    assert distributions.incomplete_beta(a, b, x) + distributions.incomplete_beta(b, a, 1 - x) == pytest.approx(1)


@given(st.floats(0.5, 60), st.floats(0.5, 60), st.floats(0.01, 0.99))
def test_a_beta_quantile_leads_back(a: float, b: float, probability: float) -> None:
    """The chance below a quantile is the chance that was asked for."""
    x = distributions.beta_quantile(probability, a, b)
    assume(1e-9 < x < 1 - 1e-9)
    assert distributions.incomplete_beta(a, b, x) == pytest.approx(probability, abs=1e-9)


@given(st.integers(1, 60), st.integers(0, 61), st.integers(1, 99))
def test_a_binomial_tail_is_the_exact_sum(items_: int, right: int, percent: int) -> None:
    """The chance of a score equals the sum of its terms in exact fractions."""
    share = Fraction(percent, 100)
    whole = sum(
        math.comb(items_, at) * share**at * (1 - share) ** (items_ - at)
        for at in range(min(right, items_ + 1), items_ + 1)
    )
    assert distributions.binomial_at_least(right, items_, percent / 100) == pytest.approx(float(whole), abs=1e-12)


@given(st.floats(-3, 3), correlations, correlations)
def test_more_correlation_means_more_together(z: float, one: float, two: float) -> None:
    """Two scores are the more often both below z the more they go together, and never more often than one alone."""
    low, high = sorted((one, two))
    assert distributions.both_below(z, low) <= distributions.both_below(z, high) + 1e-12
    assert distributions.both_below(z, high) <= distributions.NORMAL.cdf(z) + 1e-12


@given(st.floats(0.15, 30), st.floats(0.15, 30))
def test_the_points_of_a_beta_hold_its_weight_and_mean(a: float, b: float) -> None:
    """Summed over its points a beta weighs 1 and has the mean a / (a + b), also where its density has no bound."""
    points = list(distributions.beta_points(a, b))
    assert math.fsum(weight for _, weight in points) == pytest.approx(1, abs=1e-9)
    assert math.fsum(weight * at for at, weight in points) == pytest.approx(a / (a + b), abs=1e-9)


@given(counted)
def test_an_interval_holds_its_share(pair: tuple[int, int]) -> None:
    """Both intervals lie in 0 to 1 around the share; a share and its opposite mirror each other."""
    hits, n = pair
    for method in (interval.wilson, interval.clopper_pearson):
        found, mirrored = method(hits, n), method(n - hits, n)
        assert 0 <= found.low <= hits / n <= found.high <= 1
        assert found.low == pytest.approx(1 - mirrored.high, abs=1e-9)


@given(counted)
def test_the_exact_bounds_are_exact(pair: tuple[int, int]) -> None:
    """At the upper bound so few hits have a chance of exactly 5 %, at the lower bound so many have."""
    hits, n = pair
    if hits < n:
        upper = interval.upper_bound(hits, n)
        assert 1 - distributions.binomial_at_least(hits + 1, n, upper) == pytest.approx(0.05, abs=1e-9)
    if hits > 0:
        lower = interval.lower_bound(hits, n)
        assert distributions.binomial_at_least(hits, n, lower) == pytest.approx(0.05, abs=1e-9)


@given(answer_rows)
def test_leaving_one_person_out_is_never_having_asked(rows: list[tuple[int, ...]]) -> None:
    """Moments without a person equal the moments of the others."""
    whole = moments_of_rows(rows)
    assert whole.without_row(rows[0]) == moments_of_rows(rows[1:])
    scores = [sum(row) for row in rows]
    nested = moments_of_scores(scores, len(rows[0]))
    assert nested.without_score(scores[0]) == moments_of_scores(scores[1:], len(rows[0]))


@given(answer_rows)
def test_reliability_stays_in_its_bounds(rows: list[tuple[int, ...]]) -> None:
    """KR-21 never exceeds KR-20, and KR-20 never exceeds 1; equal facilities make them equal."""
    moments = moments_of_rows(rows)
    kr20, kr21 = items.kr20_of(moments), consistency.kr21_of(moments)
    assert (kr20 is None) == (kr21 is None) == (moments.variance <= 0)
    if kr20 is not None and kr21 is not None:
        assert kr21 <= kr20 + 1e-9 <= 1 + 2e-9
        if len(set(moments.item_sums)) == 1:
            assert kr21 == pytest.approx(kr20, abs=1e-9)


@given(answer_rows, st.permutations(range(6)))
def test_the_order_of_persons_and_items_does_not_matter(rows: list[tuple[int, ...]], order: list[int]) -> None:
    """Figures are the same when persons or items are listed otherwise."""
    turned = [tuple(row[at] for at in order if at < len(row)) for row in reversed(rows)]
    assert items.kr20(turned).value == pytest.approx(items.kr20(rows).value)
    assert consistency.phi_lambda(turned, 0.75).value == pytest.approx(consistency.phi_lambda(rows, 0.75).value)


@given(answer_rows, st.floats(0, 1))
def test_phi_lambda_is_least_at_the_mean(rows: list[tuple[int, ...]], share: float) -> None:
    """A cut away from the mean is more dependable than a cut at the mean."""
    moments = moments_of_rows(rows)
    at_mean = consistency.phi_lambda_of(moments, moments.mean / moments.items)
    elsewhere = consistency.phi_lambda_of(moments, share)
    # Holds where the error variance is not negative, that is, where persons do not differ more than chance allows.
    if at_mean is not None and elsewhere is not None and at_mean <= 1:
        assert elsewhere >= at_mean - 1e-9


@given(st.floats(-3, 3), st.floats(0, 0.99))
def test_subkoviak_is_even_and_beats_chance(z: float, reliability: float) -> None:
    """Agreement is the same on either side of the mean, and kappa lies from 0 to 1."""
    agreement_, kappa = consistency.subkoviak(z, reliability)
    assert consistency.subkoviak(-z, reliability)[0] == pytest.approx(agreement_, abs=1e-9)
    assert -1e-9 <= kappa <= 1 + 1e-9
    assert 0.5 - 1e-9 <= agreement_ <= 1 + 1e-9


@settings(max_examples=40)
@given(st.floats(0.3, 20), st.floats(0.3, 20), st.integers(5, 80), st.floats(0, 1))
def test_livingston_lewis_adds_up(a: float, b: float, length: int, share: float) -> None:
    """Same decisions are at least as many as both passing, and at least as many as chance gives."""
    found = consistency.livingston_lewis(consistency.TrueScores(a, b, 0, 1, length), round(share * length))
    assert found.both_pass <= found.agreement + 1e-9
    assert found.by_chance - 1e-9 <= found.agreement <= 1 + 1e-9


@given(panels)
def test_a_cut_asks_for_the_mean_and_not_one_item_more(ratings: list[list[int]]) -> None:
    """The whole cut is the mean in exact fractions, rounded up: no rounding error of a sum adds an item."""
    found = cut.judge_cut([[rating / 20 for rating in row] for row in ratings])
    exact = Fraction(sum(map(sum, ratings)), 20 * len(ratings))
    assert found.cut == math.ceil(exact)
    assert found.mean.interval is not None
    assert found.mean.interval.low - 1e-9 <= float(exact) <= found.mean.interval.high + 1e-9


@given(st.integers(1, 80), st.integers(0, 80), shares, shares)
def test_knowing_more_never_passes_less(items_: int, wanted: int, one: float, two: float) -> None:
    """The chance to pass grows with the true share, and falls with the cut."""
    low, high = sorted((one, two))
    assert cut.chance_of_pass(low, items_, wanted) <= cut.chance_of_pass(high, items_, wanted) + 1e-12
    assert cut.chance_of_pass(low, items_, wanted + 1) <= cut.chance_of_pass(low, items_, wanted) + 1e-12


@given(tables)
def test_kappa_does_not_care_who_is_first(table: list[list[int]]) -> None:
    """Turning the table leaves kappa and its interval as they were, and kappa never exceeds agreement's bound 1."""
    assume(sum(map(sum, table)))
    one, other = agreement.kappa(table), agreement.kappa([list(row) for row in zip(*table, strict=True)])
    assert (one.value is None) == (other.value is None)
    if one.value is not None:
        assert one.value == pytest.approx(other.value)
        assert one.value <= 1 + 1e-12
        assert (one.interval is None) == (other.interval is None)
        if one.interval is not None and other.interval is not None:
            assert one.interval.low == pytest.approx(other.interval.low)
            assert one.interval.low < one.value < one.interval.high + 1e-12


@given(st.dictionaries(st.sampled_from("abcdef"), st.lists(st.floats(0, 1), min_size=1, max_size=12), min_size=2))
def test_differences_of_papers_are_consistent(papers: dict[str, list[float]]) -> None:
    """The widest difference is that of the easiest and the hardest paper, and parallel means within it."""
    expected = [forms.expected_percent(ratings) for ratings in papers.values()]
    widest = abs(forms.differences(papers)[0].percent)
    assert widest == pytest.approx(max(expected) - min(expected), abs=1e-9)
    assert forms.pairs_apart(papers, widest + 1e-6) == []
