"""Recompute the frozen library values of the measure layer with the libraries themselves (extra `outside`).

Run by hand after a change of those libraries: python tests/outside/recompute_measure.py
It prints one line a value and ends with exit code 1 when one differs from tests/contract/measurement_checks.yaml.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from scipy import special, stats
from statsmodels.stats.inter_rater import cohens_kappa
from statsmodels.stats.proportion import proportion_confint

CASES = yaml.safe_load((Path(__file__).parents[1] / "contract" / "measurement_checks.yaml").read_text("utf-8"))


def rows_of(name: str) -> Any:
    """Return a set of answers as an array of 0 and 1."""
    return np.array([[int(mark) for mark in row] for row in CASES["answers"][name]])


def alpha_of(rows: Any) -> float:
    """Return Cronbach's alpha by its definition."""
    items = rows.shape[1]
    return float(items / (items - 1) * (1 - rows.var(axis=0).sum() / rows.sum(axis=1).var()))


def feldt(rows: Any) -> list[float]:
    """Return Feldt's bounds of alpha."""
    persons, items = rows.shape
    lost, upper, lower = 1 - alpha_of(rows), persons - 1, (persons - 1) * (items - 1)
    return [float(1 - lost * stats.f.ppf(tail, upper, lower)) for tail in (0.975, 0.025)]


def both_below(z: float, correlation: float) -> float:
    """Return the bivariate normal chance of two scores below z."""
    spread = [[1, correlation], [correlation, 1]]
    return float(stats.multivariate_normal([0, 0], spread).cdf([z, z]))


def item_rest(rows: Any, at: int) -> list[float]:
    """Return the bounds of an item-rest correlation."""
    found = stats.pearsonr(rows[:, at], rows.sum(axis=1) - rows[:, at]).confidence_interval()
    return [float(found.low), float(found.high)]


def subkoviak(rows: Any, cut: int) -> float:
    """Return the share of same decisions with alpha as reliability."""
    scores = rows.sum(axis=1)
    z = (cut - 0.5 - scores.mean()) / scores.std(ddof=1)
    return float(1 - 2 * (stats.norm.cdf(z) - both_below(z, alpha_of(rows))))


def kappa_bounds(table: list[list[int]]) -> list[float]:
    """Return the bounds of Cohen's kappa."""
    found = cohens_kappa(table)
    return [float(found.kappa_low), float(found.kappa_upp)]


def each(function: Callable[..., float]) -> Callable[..., list[float]]:
    """Return a way to ask a function at several points."""
    return lambda points: [float(function(*point)) for point in points]


def bounds(method: str) -> Callable[[int, int], list[float]]:
    """Return a way to ask for an interval of a share."""
    return lambda hits, n: [float(end) for end in proportion_confint(hits, n, method=method)]


WAYS: Mapping[str, Callable[..., Any]] = {
    "incomplete_beta": each(special.betainc),
    "beta_quantile": each(stats.beta.ppf),
    "student_quantile": each(stats.t.ppf),
    "f_quantile": each(stats.f.ppf),
    "chi_square_tail": each(stats.chi2.sf),
    "both_below": each(both_below),
    "kappa_interval": kappa_bounds,
    "kr20_interval": feldt,
    "item_rest_interval": item_rest,
    "wilson": bounds("wilson"),
    "clopper_pearson": bounds("beta"),
    "lower_bound": lambda hits, n: [float(stats.beta.ppf(0.05, hits, n - hits + 1))],
    "subkoviak_agreement": lambda rows, cut: [subkoviak(rows, cut)],
}


def main() -> int:
    """Compare every frozen library value; return 1 when one differs."""
    worst = 0
    for case in CASES["rows"]:
        if case["source"] not in ("scipy", "statsmodels", "pingouin"):
            continue
        data = [rows_of(case["of"])] if "of" in case else []
        found = WAYS[case["does"]](*data, **case.get("give", {}))
        wanted = case["expect"] if isinstance(case["expect"], list) else [case["expect"]]
        good = np.allclose(found, wanted, rtol=0, atol=max(case["within"], 1e-9))
        worst |= not good
        print(f"{case['id']}: {'same' if good else f'differs, {found}'}")
    return int(worst)


if __name__ == "__main__":
    sys.exit(main())
