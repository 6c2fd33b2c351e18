"""All figures of an office in one report: papers, items, observers; each from plain facts, each with its n."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from warmyard.course.critical import CRITICAL_SHARE, chance_of_all
from warmyard.measure.agreement import Agreement, observer_agreement
from warmyard.measure.consistency import (
    as_scores,
    livingston_lewis_agreement,
    measurement_error,
    near_cut,
    phi_lambda,
    reliability,
    subkoviak_agreement,
    subkoviak_kappa,
)
from warmyard.measure.cut import CutChance, chances_at_cut, cut_of_percent
from warmyard.measure.figure import Figure
from warmyard.measure.interval import share_figure
from warmyard.measure.items import ItemAnswer, ItemFigures, Limits, figures_of_items
from warmyard.words.sentence import retold, sentence, word_for

TRUE_SHARES = (0.6, 0.7, 0.8, 0.9, 0.95)
"""True shares for which false passes and false fails are stated (set for the demo)."""


@dataclass(frozen=True, slots=True)
class SittingFacts:
    """What one sitting says: its part, its try, its score, its cut, and each item right or not."""

    person: str
    level: int
    part: str
    attempt: int
    passed: bool
    right: int
    of: int
    cut_percent: float
    marks: Mapping[str, bool]
    taken: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Item -> the wrong answers taken, for the items whose responses are still there."""
    offered: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Item -> the wrong answers that it shows or knows."""


@dataclass(frozen=True, slots=True)
class PartRule:
    """What the scheme says of a part: how many critical items a paper holds, how many tries a person has."""

    critical_items: int = 0
    tries: int = 1


@dataclass(frozen=True, slots=True)
class ObservationFacts:
    """What one observer noted of one performance, point by point."""

    person: str
    station: str
    day: str
    observer: str
    passed: bool
    points: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class PaperFigures:
    """The figures of all papers of one part, length and cut."""

    level: int
    part: str
    items: int
    cut: int
    figures: Mapping[str, Figure]
    chances: Sequence[CutChance]
    rule: PartRule
    all_critical: float
    """Chance that somebody who knows each critical item with chance 0.95 has all of them right."""

    @property
    def passed_first(self) -> Figure:
        """The share of first tries that were passed."""
        return self.figures[sentence("figures.passed_first")]


@dataclass(frozen=True, slots=True)
class StationFigures:
    """The figures of one station: how often it was passed, and whether two observers saw the same."""

    station: str
    passed: Figure
    seen_by_two: int
    """Performances behind the agreement; marks of one performance hang together, so the interval flatters."""
    agreement: Agreement


@dataclass(frozen=True, slots=True)
class OfficeReport:
    """Papers, items, how often each item was given out, stations, and all pairs of observers together."""

    papers: Sequence[PaperFigures]
    items: Sequence[ItemFigures]
    exposure: Mapping[str, int]
    stations: Sequence[StationFigures]
    observers: Agreement


def make_report(
    sittings: Sequence[SittingFacts],
    observations: Sequence[ObservationFacts],
    given_out: Iterable[Sequence[str]] = (),
    rules: Mapping[tuple[int, str], PartRule] | None = None,
    limits: Limits | None = None,
) -> OfficeReport:
    """Return every figure; `given_out` holds the item ids of each paper issued, `rules` the scheme's by level, part."""
    groups: dict[tuple[int, str, int, int], list[SittingFacts]] = defaultdict(list)
    for sitting in sittings:
        if sitting.of:
            cut = cut_of_percent(sitting.cut_percent, sitting.of)
            groups[sitting.level, sitting.part, sitting.of, cut].append(sitting)
    known = rules or {}
    papers = [_paper_figures(*key, groups[key], known.get(key[:2], PartRule())) for key in sorted(groups)]
    answers = [answer for sitting in sittings for answer in _answers_of(sitting)]
    offered = {item: names for sitting in sittings for item, names in sitting.offered.items()}
    exposure = Counter(item for paper in given_out for item in paper)
    twice = _seen_by_two(observations)
    pairs = {station: [pair for performance in seen for pair in performance] for station, seen in twice.items()}
    stations = [
        StationFigures(
            station,
            share_figure(sum(each.passed for each in seen), len(seen), "observations"),
            len(twice.get(station, ())),
            observer_agreement(pairs.get(station, [])),
        )
        for station, seen in sorted(_by_station(observations).items())
    ]
    together = observer_agreement([pair for each in pairs.values() for pair in each])
    return OfficeReport(
        papers, figures_of_items(answers, offered, limits), dict(sorted(exposure.items())), stations, together
    )


def _paper_figures(
    level: int, part: str, items: int, cut: int, sittings: list[SittingFacts], rule: PartRule
) -> PaperFigures:
    first = [sitting for sitting in sittings if sitting.attempt <= 1]
    # A second try is no fresh person: reliability and consistency count first tries only.
    scores = as_scores([sitting.right for sitting in first], items)
    figures = {
        "figures.passed_first": share_figure(sum(each.passed for each in first), len(first), "sittings"),
        "figures.passed_all": share_figure(sum(each.passed for each in sittings), len(sittings), "sittings"),
        "figures.same_subkoviak": subkoviak_agreement(scores, cut),
        "figures.kappa_subkoviak": subkoviak_kappa(scores, cut),
        "figures.same_livingston_lewis": livingston_lewis_agreement(scores, cut),
        "figures.phi_lambda": phi_lambda(scores, cut / items),
        "figures.reliability": reliability(scores),
        "figures.error": measurement_error(scores),
        "figures.near_cut": near_cut(scores, cut),
    }
    chances = chances_at_cut(items, cut, TRUE_SHARES, rule.tries)
    all_critical = chance_of_all(CRITICAL_SHARE, rule.critical_items)
    said: dict[str, Figure] = {sentence(word): figure for word, figure in figures.items()}
    return PaperFigures(level, part, items, cut, said, chances, rule, all_critical)


def _answers_of(sitting: SittingFacts) -> Iterable[ItemAnswer]:
    others = len(sitting.marks) - 1
    right = sum(sitting.marks.values())
    for item, mark in sitting.marks.items():
        if others > 0:
            yield ItemAnswer(item, mark, (right - mark) / others, sitting.taken.get(item))


def _by_station(observations: Iterable[ObservationFacts]) -> dict[str, list[ObservationFacts]]:
    found: dict[str, list[ObservationFacts]] = defaultdict(list)
    for each in observations:
        found[each.station].append(each)
    return found


def _seen_by_two(observations: Iterable[ObservationFacts]) -> dict[str, list[list[tuple[str, str]]]]:
    """Return by station, for each performance that two observers saw, what both noted of each point."""
    performances: dict[tuple[str, str, str], dict[str, ObservationFacts]] = defaultdict(dict)
    for each in observations:
        performances[each.station, each.person, each.day].setdefault(each.observer, each)
    found: dict[str, list[list[tuple[str, str]]]] = defaultdict(list)
    for (station, _, _), seen in sorted(performances.items()):
        if len(seen) >= 2:
            one, other = (seen[name] for name in sorted(seen)[:2])
            shared = sorted(set(one.points) & set(other.points))
            found[station].append([(one.points[point], other.points[point]) for point in shared])
    return found


def report_record(report: OfficeReport) -> dict[str, object]:
    """Return the report as JSON shows it."""
    return {
        "papers": [_paper_record(paper) for paper in report.papers],
        "items": [
            {
                "id": item.item,
                "given_out": report.exposure.get(item.item, 0),
                "facility": item.facility.as_record(),
                "item_rest": item.item_rest.as_record(),
                "answers_taken": {name: figure.as_record() for name, figure in item.use.items()},
                "flags": list(item.flags),
            }
            for item in report.items
        ],
        "stations": [
            {
                "id": each.station,
                "passed": each.passed.as_record(),
                "seen_by_two": each.seen_by_two,
                **_agreement_record(each.agreement),
            }
            for each in report.stations
        ],
        "observers": _agreement_record(report.observers),
    }


def _paper_record(paper: PaperFigures) -> dict[str, object]:
    return {
        "level": paper.level,
        "part": paper.part,
        "items": paper.items,
        "cut": paper.cut,
        "figures": {name: figure.as_record() for name, figure in paper.figures.items()},
        "at_the_cut": [
            {"true_share": each.true_share, "passes": each.passes, "passes_in_tries": each.passes_in_tries,
             "false": each.is_false}
            for each in paper.chances
        ],
        "critical_items": paper.rule.critical_items,
        "tries": paper.rule.tries,
        "critical_true_share": CRITICAL_SHARE,
        "all_critical_right": paper.all_critical,
    }  # fmt: skip


def _agreement_record(agreement: Agreement) -> dict[str, object]:
    return {"same": agreement.same.as_record(), "kappa": agreement.kappa.as_record()}


def report_lines(report: OfficeReport, words: Mapping[str, str] | None = None) -> Iterable[str]:
    """Yield the report as people read it, line by line, in the tool's own words or in others."""
    for depth, line in _lines(report):
        yield "  " * depth + retold(words or {}, line)


def _lines(report: OfficeReport) -> Iterable[tuple[int, str]]:
    """Yield how far each line stands in, and what it says."""
    for paper in report.papers:
        yield from _paper_lines(paper)
        yield 0, ""
    for item in report.items:
        yield from _item_lines(item, report.exposure.get(item.item, 0))
    for each in report.stations:
        yield 0, sentence("figures.station", station=each.station)
        yield 1, sentence("figures.passed", figure=each.passed.sentence())
        yield 1, sentence("figures.seen_by_two", count=each.seen_by_two)
        yield from _agreement_lines(each.agreement)
    yield 0, sentence("figures.observers")
    yield from _agreement_lines(report.observers)


def _paper_lines(paper: PaperFigures) -> Iterable[tuple[int, str]]:
    yield 0, sentence("figures.paper", level=paper.level, part=paper.part, items=paper.items, cut=paper.cut)
    for name, figure in paper.figures.items():
        yield 1, sentence("figures.named", name=name, figure=figure.sentence())
    for each in paper.chances:
        yield 1, _chance_line(each, paper.rule.tries)
    if paper.rule.critical_items:
        share, chance = f"{CRITICAL_SHARE:g}", f"{paper.all_critical:.3f}"
        yield 1, sentence("figures.critical", share=share, count=paper.rule.critical_items, chance=chance)


def _item_lines(item: ItemFigures, given_out: int) -> Iterable[tuple[int, str]]:
    yield 0, sentence(word_for("figures.item", given_out), item=item.item, count=given_out)
    yield 1, sentence("figures.right", figure=item.facility.sentence())
    yield 1, sentence("figures.with_the_rest", figure=item.item_rest.sentence())
    for name, figure in item.use.items():
        yield 1, sentence("figures.took", answer=name, figure=figure.sentence())
    for flag in item.flags:
        yield 1, sentence("figures.look", flag=flag)


def _chance_line(each: CutChance, tries: int) -> str:
    share, error = f"{each.true_share:.0%}", f"{each.error:.3f}"
    if each.is_false == "pass" and tries > 1:
        again = f"{each.passes_in_tries:.3f}"
        return sentence(
            "figures.false_pass_tries", share=share, error=error, again=again, tries=tries, items=each.items
        )
    return sentence(f"figures.false_{each.is_false}", share=share, error=error, items=each.items)


def _agreement_lines(agreement: Agreement) -> Iterable[tuple[int, str]]:
    yield 1, sentence("figures.same_mark", figure=agreement.same.sentence())
    yield 1, sentence("figures.kappa", figure=agreement.kappa.sentence())
