"""Random inputs of a formula over its whole ranges, for tests and benchmarks."""

from __future__ import annotations

import math
from random import Random

from warmyard.formula.model import Formula, Symbol
from warmyard.formula.units import find_unit

WIDEST_RATIO = 1e4
"""A range that spans more than this is drawn evenly in its logarithm, so that small values come up too."""


def random_inputs(formula: Formula, chance: Random) -> dict[str, float]:
    """Return a value for every symbol, within its range; now and then an end of it, and defaults left out."""
    inputs: dict[str, float] = {}
    for symbol in formula.needs:
        if symbol.default is not None and chance.random() < 0.3:
            continue
        inputs[symbol.symbol] = _random_value(symbol, chance)
    return inputs


def _random_value(symbol: Symbol, chance: Random) -> float:
    low, high = symbol.range or (0.0, 1.0)
    if chance.random() < 0.02:
        return chance.choice((low, high))
    unit = find_unit(symbol.unit)
    if low >= 0 and high > WIDEST_RATIO * max(low, 1e-9) and not (unit and unit.point):
        smallest = max(low, high * 1e-6)
        return math.exp(chance.uniform(math.log(smallest), math.log(high)))
    value = chance.uniform(low, high)
    # Nobody types 1e-310; so near to nothing is nothing.
    return value if abs(value) > 1e-12 * max(abs(low), abs(high)) else 0.0
