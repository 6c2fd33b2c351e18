"""The few distributions that the figures stand on, computed from their definitions with the standard library."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache
from statistics import NormalDist

NORMAL = NormalDist()
LONGEST_FRACTION = 10_000
HALVINGS = 200
TINIEST = 1e-300
CLOSE_ENOUGH = 1e-15


def incomplete_beta(a: float, b: float, x: float) -> float:
    """Return the regularised incomplete beta function I_x(a, b), a and b above 0, x from 0 to 1.

    By its continued fraction (Abramowitz and Stegun 26.5.8, memory), evaluated forwards after Lentz.
    """
    if not (a > 0 and b > 0 and 0 <= x <= 1):
        raise ValueError(f"no incomplete beta for a={a}, b={b}, x={x}")
    if x in (0, 1):
        return float(x)
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_fraction(b, a, 1 - x)
    return _beta_fraction(a, b, x)


def _beta_fraction(a: float, b: float, x: float) -> float:
    log_front = a * math.log(x) + b * math.log1p(-x) - math.log(a) - log_beta(a, b)
    numerator, inverse, value = 1.0, 0.0, 1.0
    for at in range(LONGEST_FRACTION):
        half = at // 2
        if at == 0:
            term = 1.0
        elif at % 2 == 0:
            term = half * (b - half) * x / ((a + at - 1) * (a + at))
        else:
            term = -(a + half) * (a + b + half) * x / ((a + at - 1) * (a + at))
        inverse = 1 / _not_zero(1 + term * inverse)
        numerator = _not_zero(1 + term / numerator)
        change = numerator * inverse
        value *= change
        if at and abs(change - 1) < CLOSE_ENOUGH:
            break
    return math.exp(log_front) * (value - 1)


def _not_zero(value: float) -> float:
    return value if abs(value) > TINIEST else TINIEST


def log_beta(a: float, b: float) -> float:
    """Return the logarithm of the beta function B(a, b)."""
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def beta_quantile(probability: float, a: float, b: float) -> float:
    """Return the x at which I_x(a, b) reaches a probability from 0 to 1."""
    return _solve(lambda x: incomplete_beta(a, b, x), probability, 0.0, 1.0)


def student_quantile(probability: float, freedom: float) -> float:
    """Return the quantile of Student's t for a probability strictly between 0 and 1."""
    if probability < 0.5:
        return -student_quantile(1 - probability, freedom)
    x = beta_quantile(2 * (1 - probability), freedom / 2, 0.5)
    return math.sqrt(freedom * (1 - x) / x)


def f_quantile(probability: float, upper: float, lower: float) -> float:
    """Return the quantile of Fisher's F with `upper` and `lower` degrees of freedom."""
    x = beta_quantile(probability, upper / 2, lower / 2)
    return math.inf if x == 1 else lower * x / (upper * (1 - x))


def chi_square_tail(value: float, freedom: int) -> float:
    """Return the chance that chi-square with `freedom` degrees exceeds a value of 0 or more.

    By the series of the lower incomplete gamma function (Abramowitz and Stegun 6.5.29, memory).
    """
    if value <= 0:
        return 1.0
    a, x = freedom / 2, value / 2
    term = total = 1 / a
    for at in range(1, LONGEST_FRACTION):
        term *= x / (a + at)
        total += term
        if term < total * CLOSE_ENOUGH:
            break
    return max(0.0, 1 - total * math.exp(a * math.log(x) - x - math.lgamma(a)))


def binomial_at_least(right: int, items: int, share: float) -> float:
    """Return the chance of `right` or more out of `items` when each is right with chance `share`."""
    if right <= 0:
        return 1.0
    return 0.0 if right > items else incomplete_beta(right, items - right + 1, share)


def both_below(z: float, correlation: float) -> float:
    """Return the chance that two standard normal scores of a correlation from -1 to 1 both lie below z.

    Tetrachoric integral over the correlation (Sheppard; memory): d/dr of the chance is the density at (z, z).
    """
    below = NORMAL.cdf(z)
    angle = math.asin(max(-1.0, min(1.0, correlation)))
    slope = integrate(lambda at: math.exp(-z * z / (1 + math.sin(at))) if 1 + math.sin(at) > 0 else 0.0, 0, angle)
    return below * below + slope / (2 * math.pi)


def integrate(function: Callable[[float], float], low: float, high: float, points: int = 48) -> float:
    """Return the integral of a smooth function by Gauss and Legendre's rule."""
    half, middle = (high - low) / 2, (high + low) / 2
    return half * math.fsum(weight * function(middle + half * node) for node, weight in _legendre(points))


@lru_cache(maxsize=4)
def _legendre(points: int) -> tuple[tuple[float, float], ...]:
    found = []
    for at in range(points):
        x = math.cos(math.pi * (at + 0.75) / (points + 0.5))
        for _ in range(20):
            value, slope = _legendre_value(points, x)
            x -= value / slope
        slope = _legendre_value(points, x)[1]
        found.append((x, 2 / ((1 - x * x) * slope * slope)))
    return tuple(found)


def _legendre_value(degree: int, x: float) -> tuple[float, float]:
    before, value = 1.0, x
    for at in range(2, degree + 1):
        before, value = value, ((2 * at - 1) * x * value - (at - 1) * before) / at
    return value, degree * (x * value - before) / (x * x - 1)


def beta_points(a: float, b: float, step: float = 0.05) -> Iterator[tuple[float, float]]:
    """Yield points of 0 to 1 and their weights under a beta density, for any a and b above 0.

    The substitution t = 1 / (1 + exp(-pi sinh u)) flattens both ends, so that the plain sum converges even
    where the density has no bound (Takahasi and Mori's double-exponential rule, memory).
    """
    reach = math.asinh(40 / (math.pi * min(a, b, 1.0)))
    count = math.ceil(reach / step)
    log_scale = log_beta(a, b)
    for at in range(-count, count + 1):
        u = at * step
        odds = math.pi * math.sinh(u)
        log_t = -math.log1p(math.exp(-odds)) if odds > -700 else odds
        log_rest = -math.log1p(math.exp(odds)) if odds < 700 else -odds
        yield math.exp(log_t), step * math.pi * math.cosh(u) * math.exp(a * log_t + b * log_rest - log_scale)


def _solve(rising: Callable[[float], float], target: float, low: float, high: float) -> float:
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if rising(middle) < target:
            low = middle
        else:
            high = middle
    return (low + high) / 2
