"""Every figure of the measure layer against values from outside, kept with their sources in tests/contract."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from warmyard.course import critical
from warmyard.measure import agreement, consistency, cut, distributions, interval, items, latent
from warmyard.measure.figure import Interval
from warmyard.measure.moments import moments_of_rows

CASES = yaml.safe_load((Path(__file__).parents[1] / "contract" / "measurement_checks.yaml").read_text("utf-8"))
ROWS_ASKED_FOR = 38


def rows_of(name: str) -> list[tuple[int, ...]]:
    """Return a set of answers, one tuple of 0 and 1 a person."""
    if name in CASES["patterns"]:
        counted = CASES["patterns"][name].items()
        return [tuple(map(int, pattern)) for pattern, count in counted for _ in range(count)]
    return [tuple(map(int, row)) for row in CASES["answers"][name]]


def bounds(found: Interval | None) -> list[float]:
    """Return the two ends of an interval that must be there."""
    assert found is not None
    return [found.low, found.high]


def each(function: Callable[..., float]) -> Callable[..., list[float]]:
    """Return a way to ask a function at several points."""
    return lambda points: [function(*point) for point in points]


def kr20_parts(rows: list[tuple[int, ...]]) -> list[float]:
    """Return the two variances of KR-20."""
    moments = moments_of_rows(rows)
    return [moments.item_variances, moments.variance]


def phi_lambda_at_mean(rows: list[tuple[int, ...]]) -> list[float | None]:
    """Return phi(lambda) with the cut at the mean, after seeing that KR-21 gives the same."""
    moments = moments_of_rows(rows)
    found = consistency.phi_lambda(rows, moments.mean / moments.items).value
    assert found == pytest.approx(consistency.kr21_of(moments), abs=1e-12)
    return [found]


def livingston_lewis(a: float, b: float, low: float, high: float, length: int, cut: int) -> list[float]:
    """Return the four figures of Livingston and Lewis."""
    found = consistency.livingston_lewis(consistency.TrueScores(a, b, low, high, length), cut)
    return [found.both_pass, found.agreement, found.by_chance, found.kappa]


def subkoviak(pairs: list[list[float]]) -> list[float]:
    """Return the agreements at several points, then the kappas."""
    found = [consistency.subkoviak(*pair) for pair in pairs]
    return [one[0] for one in found] + [one[1] for one in found]


def rasch_levels(rows: list[tuple[int, ...]]) -> list[float]:
    """Return the intercepts of the common-slope model and its slope squared."""
    fit = latent.fit_rasch(rows)
    return [*fit.intercepts, fit.slopes[0] ** 2]


def rasch_difficulties(rows: list[tuple[int, ...]]) -> list[float]:
    """Return the difficulties of the common-slope model and its slope."""
    fit = latent.fit_rasch(rows)
    return [*fit.difficulties, fit.slopes[0]]


def two_parameter(rows: list[tuple[int, ...]]) -> list[float]:
    """Return difficulties and slopes of the model with a slope for each item."""
    fit = latent.fit_two_parameter(rows)
    return [*fit.difficulties, *fit.slopes]


def likelihood_ratio(rows: list[tuple[int, ...]]) -> list[float]:
    """Return the likelihood ratio and its chance, after seeing its degrees of freedom."""
    gain, freedom, chance = latent.compare_fits(latent.fit_rasch(rows), latent.fit_two_parameter(rows))
    assert freedom == len(rows[0]) - 1
    return [gain, chance]


def judge_cut(ratings: list[list[float]]) -> list[float | None]:
    """Return mean, spread and standard error of a panel."""
    found = cut.judge_cut(ratings)
    return [found.mean.value, found.spread, found.standard_error]


def columns(function: Callable[..., Any]) -> Callable[..., list[float | None]]:
    """Return a way to ask a figure of every item."""
    return lambda rows: [function(rows, at).value for at in range(len(rows[0]))]


def distance_to_cut(rows: Any, cut: int) -> float:
    """Return how far the mean of some rows lies from a cut."""
    found = consistency.distance_to_cut(moments_of_rows(rows), cut)
    assert found is not None
    return abs(found)


WAYS: Mapping[str, Callable[..., Any]] = {
    "variance": lambda rows: moments_of_rows(rows).variance,
    "kr20": lambda rows: items.kr20(rows).value,
    "kr20_interval": lambda rows: bounds(items.kr20(rows).interval),
    "kr20_parts": kr20_parts,
    "facilities": columns(lambda rows, at: items.facility_figure([row[at] for row in rows])),
    "item_total": columns(items.item_total),
    "item_rest": columns(items.item_rest),
    "item_rest_interval": lambda rows, at: bounds(items.item_rest(rows, at).interval),
    "lengthen": items.lengthen,
    "phi": lambda rows: consistency.phi(rows).value,
    "phi_lambda": lambda rows, cut_share: consistency.phi_lambda(rows, cut_share).value,
    "phi_lambda_at_mean": phi_lambda_at_mean,
    "distance_to_cut": distance_to_cut,
    "subkoviak": subkoviak,
    "subkoviak_agreement": lambda rows, cut: consistency.subkoviak_agreement(rows, cut).value,
    "livingston_lewis": livingston_lewis,
    "measurement_error": lambda rows: consistency.measurement_error(rows).value,
    "rasch_levels": rasch_levels,
    "rasch_difficulties": rasch_difficulties,
    "rasch_likelihoods": lambda rows: [latent.fit_rasch(rows, slope).log_likelihood for slope in (None, 1.0)],
    "two_parameter": two_parameter,
    "two_parameter_likelihood": lambda rows: latent.fit_two_parameter(rows).log_likelihood,
    "likelihood_ratio": likelihood_ratio,
    "wilson": lambda hits, n: bounds(interval.wilson(hits, n)),
    "clopper_pearson": lambda hits, n: bounds(interval.clopper_pearson(hits, n)),
    "upper_bound": interval.upper_bound,
    "lower_bound": interval.lower_bound,
    "chance_of_pass": cut.chance_of_pass,
    "false_fail": cut.false_fail,
    "chance_of_all": critical.chance_of_all,
    "judge_sums": lambda ratings: list(cut.judge_cut(ratings).sums),
    "judge_cut": judge_cut,
    "kappa": lambda table: agreement.kappa(table).value,
    "kappa_interval": lambda table: bounds(agreement.kappa(table).interval),
    "incomplete_beta": each(distributions.incomplete_beta),
    "beta_quantile": each(distributions.beta_quantile),
    "student_quantile": each(distributions.student_quantile),
    "f_quantile": each(distributions.f_quantile),
    "chi_square_tail": each(distributions.chi_square_tail),
    "both_below": each(distributions.both_below),
}


@pytest.mark.parametrize("case", CASES["rows"], ids=lambda case: case["id"])
def test_a_figure_agrees_with_its_source(case: dict[str, Any]) -> None:
    """The layer gives the value that the named source gives, within the row's tolerance."""
    name = case.get("of")
    data = [] if name is None else [CASES["ratings"][name] if name in CASES["ratings"] else rows_of(name)]
    found = WAYS[case["does"]](*data, **case.get("give", {}))
    wanted = case["expect"] if isinstance(case["expect"], list) else [case["expect"]]
    assert (found if isinstance(found, list) else [found]) == pytest.approx(wanted, abs=case["within"], rel=0)


def test_every_row_has_its_source_beside_it() -> None:
    """No check value stands without a source that the file names, and none of the rows asked for is missing."""
    assert all(case["source"] in CASES["sources"] and case["known"] for case in CASES["rows"])
    assert len({case["id"] for case in CASES["rows"]}) == len(CASES["rows"])
    frozen = ("scipy", "statsmodels", "pingouin")
    assert sum(case["source"] not in frozen for case in CASES["rows"]) == ROWS_ASKED_FOR
