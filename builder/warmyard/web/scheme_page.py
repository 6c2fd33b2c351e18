"""The page of the certification scheme, made wholly from site_config/scheme.yaml and the stations that it names."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import get_args

from markupsafe import Markup

from warmyard.course.critical import CRITICAL_SHARES, chance_of_all
from warmyard.course.model import Duty, Station
from warmyard.course.scheme import ACTIONS
from warmyard.course.scheme_model import Cut, Level, Part, Scheme
from warmyard.item.model import Demand
from warmyard.web.blocks import Writer
from warmyard.web.fill import fill
from warmyard.words import say

DEMANDS: tuple[str, ...] = get_args(Demand)


@dataclass(frozen=True, slots=True)
class DutyCount:
    """How many items of a duty the papers of a level ask, by demand, and their share of all its items."""

    title: str
    counts: Sequence[int]
    total: int
    percent: float


@dataclass(frozen=True, slots=True)
class Critical:
    """Critical items of a part or of all together, and the chance to miss one for each share of knowledge."""

    title: str
    items: int
    fails: Sequence[float]


@dataclass(frozen=True, slots=True)
class Adopted:
    """Parts whose cuts were set in one way, on one day, by one panel."""

    titles: Sequence[str]
    cut: Cut
    set_on: str


@dataclass(frozen=True, slots=True)
class LevelView:
    """A level with what the page reckons of it."""

    level: Level
    items: Mapping[str, int]
    """Part -> how many items its paper has."""
    asked: Sequence[DutyCount]
    """One row a duty, and a last one of all."""
    critical: list[Critical]
    """One row a paper that has critical items."""
    whole: Critical
    adopted: Sequence[Adopted]
    stations: Sequence[Station]
    asked_again: Sequence[str]
    """Titles of the parts and stations that a renewal asks, where it does not ask every part."""


def scheme_page(writer: Writer) -> Markup:
    """Return the scheme as a candidate or an auditor reads it."""
    workspace = writer.workspace
    scheme = workspace.scheme
    levels = [view_level(level, workspace.duties, workspace.stations) for level in scheme.levels]
    cuts = [part.cut for level in scheme.levels for part in level.parts if part.cut]
    return fill(
        "scheme",
        scheme=scheme,
        analysed_on=long_date(scheme.job_analysis_on),
        levels=levels,
        stations=list({station.id: station for view in levels for station in view.stations}.values()),
        demands=DEMANDS,
        shares=CRITICAL_SHARES,
        reasons=list(reasons_by_action(scheme)),
        cuts=len(cuts),
        provisional=sum(cut.provisional for cut in cuts),
    )


def view_level(level: Level, duties: Mapping[str, Duty], stations: Mapping[str, Station]) -> LevelView:
    """Return a level with its items counted by duty and demand, its critical items, and its stations."""
    papers = [part for part in level.parts if part.kind == "paper"]
    critical = [_critical(part.title, part.critical_items) for part in papers if part.critical_items]
    named = dict.fromkeys(name for part in level.parts for name in part.stations)
    return LevelView(
        level=level,
        items={part.id: sum(row.count for row in part.blueprint) for part in papers},
        asked=list(asked_by_duty(papers, duties)),
        critical=critical,
        whole=_critical("", sum(part.critical_items for part in papers)),
        adopted=adopted_together(level.parts),
        stations=[stations[name] for name in named],
        asked_again=_asked_again(level, stations),
    )


def _asked_again(level: Level, stations: Mapping[str, Station]) -> list[str]:
    if not level.renews_with:
        return []
    parts = [part.title for part in level.parts if part.id in level.renews_with.parts]
    named = dict.fromkeys(name for part in level.parts for name in part.stations)
    again = [stations[name].title for name in named if name in level.renews_with.stations]
    return parts + [say({}, "scheme.station", title=title) for title in again]


def _critical(title: str, items: int) -> Critical:
    return Critical(title, items, [1 - chance_of_all(share, items) for share in CRITICAL_SHARES])


def asked_by_duty(papers: Iterable[Part], duties: Mapping[str, Duty]) -> Iterator[DutyCount]:
    """Yield a row for every duty that the papers ask, in the order of the job analysis, and a last one of all."""
    counts: Counter[tuple[str, str]] = Counter()
    for part in papers:
        for row in part.blueprint:
            counts[row.duty, row.demand] += row.count
    everything = counts.total()
    for duty in duties.values():
        of_duty = [counts[duty.id, demand] for demand in DEMANDS]
        if any(of_duty):
            yield DutyCount(duty.title, of_duty, sum(of_duty), 100 * sum(of_duty) / everything)
    by_demand = [sum(counts[duty, demand] for duty in duties) for demand in DEMANDS]
    yield DutyCount("", by_demand, everything, 100 if everything else 0)


def adopted_together(parts: Iterable[Part]) -> list[Adopted]:
    """Return the cuts, those of one method, day and panel together."""
    found: dict[tuple[str, str, str, bool], tuple[list[str], Cut]] = {}
    for part in parts:
        if part.cut:
            key = (part.cut.method, part.cut.adopted_by, part.cut.set_on, part.cut.provisional)
            found.setdefault(key, ([], part.cut))[0].append(part.title)
    return [Adopted(titles, cut, long_date(cut.set_on)) for titles, cut in found.values()]


def reasons_by_action(scheme: Scheme) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Yield each action with the codes and words of its reasons."""
    for action in ACTIONS:
        yield action, [(reason.id, reason.text) for reason in scheme.reasons if reason.action == action]


def long_date(text: str) -> str:
    """Return a date such as 2026-11-02 as people write it: 2 November 2026."""
    day = date.fromisoformat(text)
    return say({}, "date.long", day=day.day, month=say({}, f"date.month-{day.month}"), year=day.year)
