"""Logistic item models, for a hundred persons and more; they never set a cut.

One common slope (Rasch's model) or a slope for each item, persons normally distributed, fitted by marginal likelihood.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from warmyard.measure.distributions import chi_square_tail
from warmyard.measure.moments import Rows

ABILITIES = tuple(at / 5 for at in range(-30, 31))
"""Points of ability in standard deviations; the plain sum over a normal density converges faster than any power."""
MOST_STEPS = 200
SMALL_GAIN = 1e-10

Values = list[float]
Unpack = Callable[[Values], tuple[Values, Values]]
"""Fitted values -> slopes and intercepts, one of each for every item."""
Gather = Callable[[Values, Values], Values]
"""Gradients by slope and by intercept, one of each for every item -> gradient by fitted value."""


@dataclass(frozen=True, slots=True)
class Fit:
    """A fitted model: intercept and slope of each item, and the log-likelihood."""

    n: int
    intercepts: tuple[float, ...]
    slopes: tuple[float, ...]
    log_likelihood: float
    free: int
    """Number of fitted values."""

    @property
    def difficulties(self) -> tuple[float, ...]:
        """Return the ability at which each item is right with chance one half."""
        return tuple(-d / a for d, a in zip(self.intercepts, self.slopes, strict=True))


@lru_cache(maxsize=1)
def _weights() -> tuple[float, ...]:
    heights = [math.exp(-at * at / 2) for at in ABILITIES]
    whole = math.fsum(heights)
    return tuple(height / whole for height in heights)


def log_chance(logit: float) -> float:
    """Return log of the logistic function, safe for any finite logit (the plain form overflows)."""
    return -math.log1p(math.exp(-logit)) if logit >= 0 else logit - math.log1p(math.exp(logit))


def fit_rasch(rows: Rows, slope: float | None = None) -> Fit:
    """Return the model with one common slope, or with the slope held at a given value."""
    levels = _start(rows)
    items = len(levels)
    if slope is not None:
        return _climb(rows, levels, lambda values: ([slope] * items, values), lambda tilt, level: level)
    return _climb(
        rows,
        [*levels, 1.0],
        lambda values: ([values[-1]] * items, values[:-1]),
        lambda tilt, level: [*level, sum(tilt)],
    )


def fit_two_parameter(rows: Rows) -> Fit:
    """Return the model with one slope for each item."""
    levels = _start(rows)
    items = len(levels)
    return _climb(
        rows,
        [*levels, *[1.0] * items],
        lambda values: (values[items:], values[:items]),
        lambda tilt, level: level + tilt,
    )


def compare_fits(narrow: Fit, wide: Fit) -> tuple[float, int, float]:
    """Return the likelihood ratio of two nested fits: twice the gain, degrees of freedom, chance of more."""
    gain, freedom = 2 * (wide.log_likelihood - narrow.log_likelihood), wide.free - narrow.free
    return gain, freedom, chi_square_tail(gain, freedom)


def _start(rows: Rows) -> Values:
    """Return the log odds of each item; raise ValueError when one was right, or wrong, for everybody."""
    sums = [sum(column) for column in zip(*rows, strict=True)]
    flat = [str(at + 1) for at, right in enumerate(sums) if right in (0, len(rows))]
    if flat:
        raise ValueError(f"nothing separates the persons on item {', '.join(flat)}")
    return [math.log(right / (len(rows) - right)) for right in sums]


def _climb(rows: Rows, start: Values, unpack: Unpack, gather: Gather) -> Fit:
    """Climb the marginal likelihood by the outer product of the persons' own gradients, halving steps that overshoot.

    Method: Berndt, Hall, Hall and Hausman (1974, memory).
    """
    patterns = Counter(map(tuple, rows))
    values = start
    height, gradient, curvature = _slope_of(patterns, values, unpack, gather)
    for _ in range(MOST_STEPS):
        step = _solve(curvature, gradient)
        reach = 1.0
        while reach > 1e-9:
            tried = [value + reach * each for value, each in zip(values, step, strict=True)]
            found = _slope_of(patterns, tried, unpack, gather)
            if found[0] > height:
                break
            reach /= 2
        else:
            break
        gain, values = found[0] - height, tried
        height, gradient, curvature = found
        if gain < SMALL_GAIN:
            break
    slopes, intercepts = unpack(values)
    return Fit(len(rows), tuple(intercepts), tuple(slopes), height, len(values))


def _slope_of(
    patterns: Counter[tuple[int, ...]], values: Values, unpack: Unpack, gather: Gather
) -> tuple[float, Values, list[Values]]:
    """Return the log-likelihood, its gradient, and the sum of the outer products of the patterns' gradients."""
    slopes, intercepts = unpack(values)
    logits = [[slope * at + level for at in ABILITIES] for slope, level in zip(slopes, intercepts, strict=True)]
    logs = [([log_chance(-x) for x in row], [log_chance(x) for x in row]) for row in logits]
    height, gradient = 0.0, [0.0] * len(values)
    curvature = [[0.0] * len(values) for _ in values]
    for pattern, count in patterns.items():
        chances = [
            weight * math.exp(sum(logs[item][answer][at] for item, answer in enumerate(pattern)))
            for at, weight in enumerate(_weights())
        ]
        whole = math.fsum(chances)
        height += count * math.log(whole)
        level, tilt = [], []
        for item, answer in enumerate(pattern):
            misses = [c / whole * (answer - math.exp(right)) for c, right in zip(chances, logs[item][1], strict=True)]
            level.append(math.fsum(misses))
            tilt.append(math.fsum(miss * at for miss, at in zip(misses, ABILITIES, strict=True)))
        own = gather(tilt, level)
        for row, each in enumerate(own):
            gradient[row] += count * each
            for column, other in enumerate(own):
                curvature[row][column] += count * each * other
    if not math.isfinite(height):
        raise ValueError("the likelihood is not finite")
    return height, gradient, curvature


def _solve(matrix: list[Values], right: Values) -> Values:
    """Return the solution of a small set of linear equations, by elimination with the largest pivot."""
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    size = len(rows)
    for at in range(size):
        pivot = max(range(at, size), key=lambda row: abs(rows[row][at]))
        if abs(rows[pivot][at]) < 1e-12:
            raise ValueError("too few different answers for this model")
        rows[at], rows[pivot] = rows[pivot], rows[at]
        for row in range(at + 1, size):
            factor = rows[row][at] / rows[at][at]
            rows[row] = [value - factor * own for value, own in zip(rows[row], rows[at], strict=True)]
    solution = [0.0] * size
    for at in reversed(range(size)):
        known = math.fsum(rows[at][column] * solution[column] for column in range(at + 1, size))
        solution[at] = (rows[at][size] - known) / rows[at][at]
    return solution
