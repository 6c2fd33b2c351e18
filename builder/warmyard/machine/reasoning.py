"""Exact Bayes over a list of hypotheses, what a check is expected to settle, and the order of trying."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Hashable, Iterable, Mapping, Sequence
from typing import Any, TypeVar

H = TypeVar("H", bound=Hashable)
L = TypeVar("L", bound=Hashable)


def posterior(prior: Mapping[H, float], likelihood: Callable[[H], float]) -> dict[H, float]:
    """Return the hypotheses that remain with weights that sum to 1; empty when nothing explains what was seen."""
    raised = {hypothesis: weight * likelihood(hypothesis) for hypothesis, weight in prior.items()}
    total = math.fsum(raised.values())
    return {hypothesis: weight / total for hypothesis, weight in raised.items() if weight > 0} if total > 0 else {}


def by_label(weights: Mapping[H, float], label: Callable[[H], L]) -> dict[L, float]:
    """Return the weights summed by what each hypothesis is called."""
    summed: dict[L, float] = {}
    for hypothesis, weight in weights.items():
        name = label(hypothesis)
        summed[name] = summed.get(name, 0.0) + weight
    return summed


def certainty(weights: Iterable[float]) -> float:
    """Return the weight that stands on the true one on average: the sum of squares of weights that sum to 1."""
    found = list(weights)
    total = math.fsum(found)
    return math.fsum(weight * weight for weight in found) / (total * total) if total > 0 else 0.0


def expected_after(
    weights: Mapping[H, float],
    shows: Callable[[H], Hashable | None],
    kept: Callable[[Any], Collection[H]],
    label: Callable[[H], Hashable],
    measure: Callable[[Iterable[float]], float],
) -> float:
    """Return a measure over labels (certainty, or entropy) to be expected after a check.

    `shows` is what a hypothesis would show, None when the check cannot be done or tells nothing there.
    `kept` gives the hypotheses that outlive an outcome that was seen, in the order of the weights; looking one up in
    them is quick.
    """
    chances: dict[Hashable | None, float] = {}
    for hypothesis, weight in weights.items():
        outcome = shows(hypothesis)
        chances[outcome] = chances.get(outcome, 0.0) + weight
    expected = 0.0
    for outcome, chance in chances.items():
        left = weights if outcome is None else kept(outcome)
        summed: dict[Hashable, float] = {}
        if len(left) < len(weights):
            shares = ((one, weights[one]) for one in left if one in weights)
        else:  # few remain: what outlives is looked up for each of them
            shares = ((one, share) for one, share in weights.items() if one in left)
        for hypothesis, share in shares:
            name = label(hypothesis)
            summed[name] = summed.get(name, 0.0) + share
        expected += chance * measure(summed.values())
    return expected / math.fsum(chances.values())


def repair_order(chances: Sequence[float], minutes: Sequence[float]) -> tuple[int, ...]:
    """Return the order of trying, by chance over minutes; it has the least expected minutes for single faults."""
    return tuple(sorted(range(len(chances)), key=lambda at: (-chances[at] / minutes[at], at)))
