"""What an item did: how many had it right, whether it agrees with the rest, which answers were taken."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from warmyard.measure.distributions import f_quantile
from warmyard.measure.figure import CONFIDENCE, SMALLEST_N, Figure, Interval, no_figure
from warmyard.measure.interval import SMALLEST_HALF_WIDTH, fisher, share_figure
from warmyard.measure.moments import Moments, Rows, moments_of_rows
from warmyard.words.sentence import sentence


@dataclass(frozen=True, slots=True)
class Limits:
    """Bounds outside which an item is looked at; the defaults are the demo scheme's (set for the demo)."""

    lowest_facility: float = 0.3
    highest_facility: float = 0.95
    lowest_item_rest: float = 0.15
    lowest_use: float = 0.03


@dataclass(frozen=True, slots=True)
class ItemAnswer:
    """One person's answer to one item: right or not, the share right of the rest of the paper, the answers taken."""

    item: str
    right: bool
    rest_share: float
    taken: tuple[str, ...] | None = None
    """The chosen options, or the slip that was met; None where the response is no longer there."""


@dataclass(frozen=True, slots=True)
class ItemFigures:
    """The figures of one item, and what to look at; flags are raised from 30 answers on."""

    item: str
    facility: Figure
    item_rest: Figure
    use: dict[str, Figure]
    flags: tuple[str, ...]


def figures_of_items(
    answers: Iterable[ItemAnswer], offered: dict[str, tuple[str, ...]] | None = None, limits: Limits | None = None
) -> list[ItemFigures]:
    """Return the figures of every item that was answered, in the order of their ids.

    `offered` names the wrong answers that an item shows, so that one which nobody took is counted too.
    """
    by_item: dict[str, list[ItemAnswer]] = {}
    for answer in answers:
        by_item.setdefault(answer.item, []).append(answer)
    shown = offered or {}
    return [_figures_of(item, by_item[item], shown.get(item, ()), limits or Limits()) for item in sorted(by_item)]


def _figures_of(item: str, answers: list[ItemAnswer], offered: tuple[str, ...], limits: Limits) -> ItemFigures:
    facility = facility_figure([answer.right for answer in answers])
    item_rest = correlation_figure([float(a.right) for a in answers], [answer.rest_share for answer in answers])
    use = use_figures([answer.taken for answer in answers if answer.taken is not None], offered)
    flags = () if len(answers) < SMALLEST_N else tuple(_flags(facility, item_rest, use, limits))
    return ItemFigures(item, facility, item_rest, use, flags)


def _flags(facility: Figure, item_rest: Figure, use: dict[str, Figure], limits: Limits) -> Iterable[str]:
    if facility.value is not None and facility.value < limits.lowest_facility:
        yield sentence("figures.hard", limit=f"{limits.lowest_facility:g}")
    if facility.value is not None and facility.value > limits.highest_facility:
        yield sentence("figures.easy", limit=f"{limits.highest_facility:g}")
    if item_rest.value is not None and item_rest.value < limits.lowest_item_rest:
        yield sentence("figures.apart", limit=f"{limits.lowest_item_rest:g}")
    for answer, figure in use.items():
        if figure.value is not None and figure.value < limits.lowest_use:
            yield sentence("figures.hardly_taken", answer=answer, limit=f"{limits.lowest_use:g}")


def facility_figure(right: Sequence[bool | int]) -> Figure:
    """Return the share of answers that were right (facility, p) with Wilson's interval."""
    return share_figure(sum(map(bool, right)), len(right), "answers")


def use_figures(taken: Sequence[tuple[str, ...]], offered: tuple[str, ...] = ()) -> dict[str, Figure]:
    """Return for each offered or taken answer the share of persons who took it."""
    counts = Counter(answer for each in taken for answer in set(each))
    names = [*offered, *sorted(set(counts) - set(offered))]
    return {name: share_figure(counts[name], len(taken), "answers") for name in names}


def correlation_figure(left: Sequence[float], right: Sequence[float]) -> Figure:
    """Return Pearson's correlation of two lists with Fisher's interval; none when one of them does not vary."""
    n = len(left)
    value = _correlation(left, right)
    if value is None:
        return no_figure(n, "answers", sentence("figures.why.answers_alike"))
    interval = fisher(value, n)
    return Figure(value, n, "answers", interval, "" if interval else sentence("figures.why.in_line"))


def _correlation(left: Sequence[float], right: Sequence[float]) -> float | None:
    n = len(left)
    if n < 2 or len(set(left)) < 2 or len(set(right)) < 2:
        return None
    mean_left, mean_right = math.fsum(left) / n, math.fsum(right) / n
    together = math.fsum((x - mean_left) * (y - mean_right) for x, y in zip(left, right, strict=True))
    own = math.fsum((x - mean_left) ** 2 for x in left) * math.fsum((y - mean_right) ** 2 for y in right)
    return None if own <= 0 else max(-1.0, min(1.0, together / math.sqrt(own)))


def item_rest(rows: Rows, at: int) -> Figure:
    """Return the correlation of one item with the rest of the score, the item itself left out of the score."""
    return correlation_figure([row[at] for row in rows], [sum(row) - row[at] for row in rows])


def item_total(rows: Rows, at: int) -> Figure:
    """Return the correlation of one item with the whole score; it flatters items of short papers, see item_rest."""
    return correlation_figure([row[at] for row in rows], [sum(row) for row in rows])


def kr20_of(moments: Moments) -> float | None:
    """Return KR-20 (Cronbach's alpha of right and wrong answers), or None when the scores do not vary.

    k / (k - 1) (1 - sum p(1 - p) / variance), both variances divided by n. Source: Kuder and Richardson (1937), memory.
    """
    if moments.n < 2 or moments.items < 2 or moments.variance <= 0:
        return None
    return moments.items / (moments.items - 1) * (1 - moments.item_variances / moments.variance)


def kr20(rows: Rows) -> Figure:
    """Return KR-20 of persons who answered the same items, with Feldt's interval."""
    value = kr20_of(moments_of_rows(rows))
    if value is None:
        return no_figure(len(rows), "persons", sentence("figures.why.few"))
    if value >= 1 - SMALLEST_HALF_WIDTH:
        return Figure(value, len(rows), "persons", None, sentence("figures.why.answers_say_nothing"))
    return Figure(value, len(rows), "persons", feldt(value, len(rows), len(rows[0])))


def feldt(alpha: float, persons: int, items: int) -> Interval:
    """Return Feldt's interval of alpha (1965, memory): (1 - alpha) times two quantiles of F."""
    upper, lower = persons - 1, (persons - 1) * (items - 1)
    tail = (1 + CONFIDENCE) / 2
    low = 1 - (1 - alpha) * f_quantile(tail, upper, lower)
    high = 1 - (1 - alpha) * f_quantile(1 - tail, upper, lower)
    return Interval(low, high, "Feldt")


def lengthen(reliability: float, wanted: float) -> float:
    """Return by what factor a paper must grow to raise its reliability (Spearman and Brown, 1910, memory)."""
    return wanted * (1 - reliability) / (reliability * (1 - wanted))
