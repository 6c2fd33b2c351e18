"""Do two observers see the same: Cohen's kappa and percent agreement, both with n."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from warmyard.measure.distributions import NORMAL
from warmyard.measure.figure import CONFIDENCE, Figure, Interval, no_figure
from warmyard.measure.interval import SMALLEST_HALF_WIDTH, share_figure
from warmyard.words.sentence import sentence


@dataclass(frozen=True, slots=True)
class Agreement:
    """Two observers of the same performances."""

    same: Figure
    """Share of pairs on which both noted the same."""
    kappa: Figure
    """What of it chance does not explain."""


def observer_agreement(pairs: Sequence[tuple[str, str]]) -> Agreement:
    """Return the agreement of two observers from what each noted of the same point."""
    marks = sorted({mark for pair in pairs for mark in pair})
    at = {mark: index for index, mark in enumerate(marks)}
    table = [[0] * len(marks) for _ in marks]
    for first, second in pairs:
        table[at[first]][at[second]] += 1
    same = sum(first == second for first, second in pairs)
    return Agreement(share_figure(same, len(pairs), "pairs"), kappa(table))


def kappa(table: Sequence[Sequence[int]]) -> Figure:
    """Return Cohen's kappa of a square table of counts, first observer down, second across.

    None where both used one mark only: then agreement and chance are the same thing.
    The interval is by the large-sample error of Fleiss, Cohen and Everitt (1969, memory).
    """
    size = len(table)
    n = sum(map(sum, table))
    if n == 0:
        return no_figure(0, "pairs", sentence("figures.why.unseen"))
    down = [sum(row) / n for row in table]
    across = [sum(row[at] for row in table) / n for at in range(size)]
    agreed = sum(table[at][at] for at in range(size)) / n
    chance = math.fsum(down[at] * across[at] for at in range(size))
    if chance >= 1:
        return no_figure(n, "pairs", sentence("figures.why.one_mark"))
    value = (agreed - chance) / (1 - chance)
    half = NORMAL.inv_cdf((1 + CONFIDENCE) / 2) * _error(table, down, across, value, chance, n)
    if half <= SMALLEST_HALF_WIDTH:
        return Figure(value, n, "pairs", None, sentence("figures.why.marks_say_nothing"))
    interval = Interval(max(-1.0, value - half), min(1.0, value + half), sentence("figures.large_sample"))
    return Figure(value, n, "pairs", interval)


def _error(
    table: Sequence[Sequence[int]], down: list[float], across: list[float], value: float, chance: float, n: int
) -> float:
    spread = -((value - chance * (1 - value)) ** 2)
    for row, counts in enumerate(table):
        for column, count in enumerate(counts):
            margins = down[column] + across[row]
            part = 1 - margins * (1 - value) if row == column else -(1 - value) * margins
            spread += count / n * part * part
    return math.sqrt(max(0.0, spread) / n) / (1 - chance)
