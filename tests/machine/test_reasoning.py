"""The core of the reasoning against published results (trade/checks.yaml, topic diagnosis) and arithmetic."""

from __future__ import annotations

import itertools
import math
from collections.abc import Hashable, Iterable

import pytest

from warmyard.formula.planning import expected_minutes
from warmyard.machine.reasoning import (
    by_label,
    certainty,
    expected_after,
    posterior,
    repair_order,
)

PRIOR = 0.01
PARTS = ("M1", "M2", "M3", "A1", "A2")
F_SEEN, G_SEEN = 10, 12
VALUES = range(25)
Faults = frozenset[str]


def entropy_bits(weights: Iterable[float]) -> float:
    """Return the entropy of weights, in bits."""
    found = [weight for weight in weights if weight > 0]
    total = math.fsum(found)
    return -math.fsum(weight / total * math.log2(weight / total) for weight in found)


def worlds(faulty: Faults) -> set[tuple[int, int, int]]:
    """Return every (X, Y, Z) of the polybox that explains F = 10 and G = 12 when certain parts are faulty.

    Three multipliers with inputs 3x2, 2x3, 2x3 and two adders F = X + Y, G = Y + Z.
    """
    xs = VALUES if "M1" in faulty else (6,)
    ys = VALUES if "M2" in faulty else (6,)
    zs = VALUES if "M3" in faulty else (6,)
    return {
        (x, y, z)
        for x, y, z in itertools.product(xs, ys, zs)
        if ("A1" in faulty or x + y == F_SEEN) and ("A2" in faulty or y + z == G_SEEN)
    }


@pytest.fixture(scope="module")
def polybox() -> tuple[dict[Faults, float], dict[Faults, set[tuple[int, int, int]]]]:
    """Give the posterior over all 32 sets of faulty parts, and the worlds of each."""
    sets = [frozenset(found) for size in range(6) for found in itertools.combinations(PARTS, size)]
    found = {faulty: worlds(faulty) for faulty in sets}
    prior = {faulty: math.prod(PRIOR if part in faulty else 1 - PRIOR for part in PARTS) for faulty in sets}
    return posterior(prior, lambda faulty: float(bool(found[faulty]))), found


def test_polybox_posterior(polybox: tuple[dict[Faults, float], object]) -> None:
    """P(M2 faulty) is 0.0196088. Source: trade/checks.yaml diag-03, exhaustive enumeration (computed)."""
    weights, _ = polybox
    assert math.fsum(weights.values()) == pytest.approx(1, abs=1e-12)
    assert math.fsum(w for faulty, w in weights.items() if "M2" in faulty) == pytest.approx(0.0196088, rel=1e-3)


def test_polybox_best_probe(
    polybox: tuple[dict[Faults, float], dict[Faults, set[tuple[int, int, int]]]],
) -> None:
    """The best next measurement is X. Source: trade/checks.yaml diag-04, a classic result and enumeration."""
    weights, found = polybox

    def left_after(probe: int) -> float:
        seen = {faulty: {world[probe] for world in found[faulty]} for faulty in weights}
        return expected_after(
            weights,
            lambda faulty: next(iter(seen[faulty])) if len(seen[faulty]) == 1 else None,
            lambda value: [faulty for faulty in weights if value in seen[faulty]],
            lambda faulty: faulty,
            entropy_bits,
        )

    bits = {name: left_after(at) for at, name in enumerate("XYZ")}
    assert min(bits, key=bits.__getitem__) == "X"
    assert bits["X"] < 0.6 < min(bits["Y"], bits["Z"])


def test_single_fault_gain_is_one_bit() -> None:
    """Probing X between M1 and A1 gains 1 bit, Y or Z none. Source: trade/checks.yaml diag-05, Shannon entropy."""
    weights = {"M1": 0.5, "A1": 0.5}
    for shows, gain in (({"M1": 4, "A1": 6}, 1.0), ({"M1": 6, "A1": 6}, 0.0)):

        def kept(value: Hashable, shows: dict[str, int] = shows) -> list[str]:
            return [part for part in weights if shows[part] == value]

        left = expected_after(weights, shows.__getitem__, kept, lambda part: part, entropy_bits)
        assert entropy_bits(weights.values()) - left == pytest.approx(gain, abs=1e-12)


def test_entropy_is_in_bits() -> None:
    """A look that splits 0.5, 0.25, 0.125, 0.125 wholly gains 1.75 bit. Source: trade/checks.yaml diag-06, scipy."""
    weights = dict(zip("abcd", (0.5, 0.25, 0.125, 0.125), strict=True))
    left = expected_after(weights, lambda one: one, lambda seen: [str(seen)], lambda one: one, entropy_bits)
    assert entropy_bits(weights.values()) - left == pytest.approx(1.75, rel=1e-12)


def test_sprinkler_network() -> None:
    """P(sprinkler | wet) is 0.429764. Source: trade/checks.yaml diag-07, recomputed with pgmpy 1.1.2."""
    sprinkler, rain = {0: 0.5, 1: 0.1}, {0: 0.2, 1: 0.8}
    wet = {(0, 0): 0.0, (0, 1): 0.9, (1, 0): 0.9, (1, 1): 0.99}
    prior = {
        (c, s, r): 0.5 * (sprinkler[c] if s else 1 - sprinkler[c]) * (rain[c] if r else 1 - rain[c])
        for c, s, r in itertools.product((0, 1), repeat=3)
    }
    weights = posterior(prior, lambda world: wet[world[1], world[2]])
    assert by_label(weights, lambda world: world[1])[1] == pytest.approx(0.429764, rel=1e-3)


CHANCES, MINUTES = (0.45, 0.30, 0.17, 0.08), (10.0, 20.0, 4.0, 2.0)


def test_repair_order_is_the_best_of_all() -> None:
    """Chance over minutes gives 18.96 min, the least of all 24 orders. Source: trade/checks.yaml diag-13."""
    order = repair_order(CHANCES, MINUTES)
    assert expected_minutes(CHANCES, MINUTES, order) == pytest.approx(18.96, rel=5e-4)
    least = min(expected_minutes(CHANCES, MINUTES, other) for other in itertools.permutations(range(4)))
    assert expected_minutes(CHANCES, MINUTES, order) == pytest.approx(least, rel=1e-12)


def test_repair_by_chance_alone_costs_more() -> None:
    """By probability only the order costs 22.16 min. Source: trade/checks.yaml diag-14, arithmetic."""
    assert expected_minutes(CHANCES, MINUTES, (0, 1, 2, 3)) == pytest.approx(22.16, rel=5e-4)


def test_nothing_left_is_an_empty_posterior() -> None:
    """When no hypothesis explains what was seen, nothing is left, and nothing is divided by zero."""
    assert posterior({"a": 0.5, "b": 0.5}, lambda _: 0.0) == {}
    assert certainty([]) == 0
    assert certainty([0.5, 0.5]) == pytest.approx(0.5)
