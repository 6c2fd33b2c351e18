"""Parallel papers: how far their expected difficulties lie apart, before anybody has sat one."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from warmyard.measure.cut import ENOUGH_JUDGES, JudgedCut, judge_cut
from warmyard.measure.distributions import student_quantile
from warmyard.measure.figure import CONFIDENCE, Figure, Interval, no_figure
from warmyard.words.sentence import retold, sentence

WIDEST_PERCENT = 1.0
"""Papers count as parallel within this difference of their expected scores (set for the demo)."""


@dataclass(frozen=True, slots=True)
class Difference:
    """Two papers and how far their expected scores lie apart, in percent of the items, with sign."""

    first: str
    second: str
    percent: float


def expected_percent(ratings: Sequence[float]) -> float:
    """Return the expected score of a borderline person on a paper, in percent, from a judged chance for each item."""
    if not ratings or any(not 0 <= rating <= 1 for rating in ratings):
        raise ValueError("one judged chance from 0 to 1 for each item is wanted")
    return 100 * math.fsum(ratings) / len(ratings)


def differences(papers: Mapping[str, Sequence[float]]) -> list[Difference]:
    """Return the difference of every two papers, the widest first; the ratings are given, so this is exact."""
    expected = {name: expected_percent(ratings) for name, ratings in papers.items()}
    found = [Difference(one, two, expected[one] - expected[two]) for one, two in combinations(sorted(expected), 2)]
    return sorted(found, key=lambda each: (-abs(each.percent), each.first, each.second))


def pairs_apart(papers: Mapping[str, Sequence[float]], widest_percent: float = WIDEST_PERCENT) -> list[Difference]:
    """Return the pairs of papers that are further apart than is allowed; an empty list when all are parallel."""
    return [each for each in differences(papers) if round(abs(each.percent), 9) > widest_percent]


def judged_difference(first: Sequence[Sequence[float]], second: Sequence[Sequence[float]]) -> Figure:
    """Return the difference of two papers that the same judges rated, in percent, with Student's interval.

    A row for each judge in both, in the same order; the papers may differ in length.
    """
    judges = len(first)
    if judges != len(second):
        raise ValueError("the same judges must rate both papers")
    if judges < 2:
        return no_figure(judges, "judges", sentence("figures.why.few_judges"))
    each = [expected_percent(one) - expected_percent(two) for one, two in zip(first, second, strict=True)]
    mean = math.fsum(each) / judges
    error = math.sqrt(math.fsum((one - mean) ** 2 for one in each) / (judges - 1) / judges)
    half = student_quantile((1 + CONFIDENCE) / 2, judges - 1) * error
    return Figure(mean, judges, "judges", Interval(mean - half, mean + half, "Student's t"), enough=ENOUGH_JUDGES)


@dataclass(frozen=True, slots=True)
class RatedPapers:
    """What a panel's ratings say of papers that were given out: the cut of each, and which are not parallel."""

    cuts: Mapping[str, JudgedCut]
    """Paper -> its own cut; only papers whose every item was rated."""
    unrated: Mapping[str, tuple[str, ...]]
    """Paper -> its items that nobody rated."""
    apart: Sequence[Difference]
    """Pairs further apart than is allowed, the widest first."""
    widest: Difference | None
    judged: Mapping[tuple[str, str], Figure]
    """The difference of each of these pairs, judge by judge: whether the panel agrees that they lie apart."""


def rate_papers(
    ratings: Mapping[str, Sequence[float]], papers: Mapping[str, Sequence[str]], widest_percent: float = WIDEST_PERCENT
) -> RatedPapers:
    """Return the cuts and differences of papers from ratings by item: a chance a judge, always in the same order."""
    if len({len(each) for each in ratings.values()}) != 1:
        raise ValueError("each item needs one rating from every judge")
    unrated = {name: tuple(sorted(set(items) - set(ratings))) for name, items in papers.items()}
    rated = {name: items for name, items in papers.items() if items and not unrated[name]}
    by_judge = {name: list(zip(*(ratings[item] for item in items), strict=True)) for name, items in rated.items()}
    cuts = {name: judge_cut(rows) for name, rows in by_judge.items()}
    expected = {
        name: [math.fsum(ratings[item]) / len(ratings[item]) for item in items] for name, items in rated.items()
    }
    widest = next(iter(differences(expected)), None)
    apart = pairs_apart(expected, widest_percent)
    judged = {
        (pair.first, pair.second): judged_difference(by_judge[pair.first], by_judge[pair.second])
        for pair in (*([] if widest is None else [widest]), *apart)
    }
    missing = {name: items for name, items in unrated.items() if items}
    return RatedPapers(cuts, missing, apart, widest, judged)


def rated_lines(rated: RatedPapers, words: Mapping[str, str] | None = None) -> Iterable[str]:
    """Yield what a panel's ratings say, line by line."""
    for depth, line in _rated(rated):
        yield "  " * depth + retold(words or {}, line)


def _rated(rated: RatedPapers) -> Iterable[tuple[int, str]]:
    for name, cut in sorted(rated.cuts.items()):
        yield 0, sentence("figures.rated", paper=name, cut=cut.cut, items=cut.items, percent=f"{cut.percent:.1f}")
        yield 1, sentence("figures.mean", figure=cut.mean.sentence())
        spread, error = f"{cut.spread:.3f}", f"{cut.standard_error:.3f}"
        yield 1, sentence("figures.spread", spread=spread, error=error, judges=cut.mean.n)
    for name, items in sorted(rated.unrated.items()):
        yield 0, sentence("figures.unrated", paper=name, items=", ".join(items))
    if rated.widest is not None:
        yield 0, sentence("figures.widest", pair=_apart(rated.widest), count=len(rated.cuts))
        yield 1, _by_judge(rated, rated.widest)
    for pair in rated.apart:
        yield 0, sentence("figures.not_parallel", pair=_apart(pair))
        yield 1, _by_judge(rated, pair)


def _apart(pair: Difference) -> str:
    return sentence("figures.pair", first=pair.first, second=pair.second, percent=f"{abs(pair.percent):.2f}")


def _by_judge(rated: RatedPapers, pair: Difference) -> str:
    figure = rated.judged[pair.first, pair.second].sentence()
    return sentence("figures.by_judge", first=pair.first, second=pair.second, figure=figure)


def rated_record(rated: RatedPapers) -> dict[str, object]:
    """Return what a panel's ratings say as JSON shows it."""
    return {
        "papers": {
            name: {
                "cut": cut.cut,
                "items": cut.items,
                "percent": cut.percent,
                "mean": cut.mean.as_record(),
                "spread": cut.spread,
                "standard_error": cut.standard_error,
            }
            for name, cut in sorted(rated.cuts.items())
        },
        "unrated": {name: list(items) for name, items in sorted(rated.unrated.items())},
        "not_parallel": [[pair.first, pair.second, pair.percent] for pair in rated.apart],
        "judge_by_judge": [[*pair, figure.as_record()] for pair, figure in rated.judged.items()],
    }
