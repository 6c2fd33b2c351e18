"""The certification scheme: complete, or refused with the part that it lacks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from datetime import date
from functools import partial
from pathlib import Path

from warmyard.course.catalogue import read_or_fault
from warmyard.course.model import Skill, Station
from warmyard.course.scheme_model import Appeals, BlueprintRow, Level, Part, Scheme
from warmyard.course.scheme_shape import check_bounds, check_ids
from warmyard.errors import Place, SourceError
from warmyard.fields import offer
from warmyard.formats.schemes import SCHEMES, bring_up_scheme
from warmyard.formats.sources import version_named
from warmyard.item.kind_table import KINDS, kind_of, tag_of
from warmyard.item.model import Item
from warmyard.sources import decode

ACTIONS = ("grant", "suspend", "restore", "withdraw", "refuse")


def load_scheme(path: Path, root: Path, faults: list[SourceError]) -> Scheme | None:
    """Return the scheme, or None and the faults of its shape."""
    document = read_or_fault(path, root, faults)
    version = None if document is None else version_named(SCHEMES, document, faults)
    if document is None or version is None:
        return None
    scheme: Scheme | None = decode(document, Scheme, faults, read=partial(bring_up_scheme, version))
    return scheme


class _Faults(list[SourceError]):
    """Faults of one scheme, each named by the dotted path of its part."""

    def __init__(self, place: Place) -> None:
        super().__init__()
        self.place = place

    def add(self, part: str, what: str, what_to_do: str) -> None:
        self.append(SourceError(self.place.within(part), what, what_to_do))


def check_scheme(
    scheme: Scheme, skills: Mapping[str, Skill], stations: Mapping[str, Station], items: Mapping[str, Item]
) -> list[SourceError]:
    """Return every part that a scheme must have and this one lacks, and every blueprint cell that cannot be filled."""
    faults = _Faults(scheme.place)
    faults.extend(check_ids(scheme))
    faults.extend(check_bounds(scheme))
    for name in ("version", "title", "owner", "job_analysis", "claim"):
        if not getattr(scheme, name).strip():
            faults.add(name, f"the scheme has no {name.replace('_', ' ')}", f"write {name}")
    _want_date(faults, "job_analysis_on", scheme.job_analysis_on)
    for action in ACTIONS:
        if not any(reason.action == action for reason in scheme.reasons):
            faults.add("reasons", f"no reason code for {action}", f"add one with action: {action}")
    for name in ("activities", "levels", "conduct"):
        if not getattr(scheme, name):
            faults.add(name, f"the scheme has no {name}", f"write {name}")
    if scheme.exposure_limit is not None and scheme.exposure_limit < 1:
        faults.add("exposure_limit", "a limit that lets no item be asked", "write 1 or more papers, or leave it out")
    for at, level in enumerate(scheme.levels):
        _check_level(faults, f"levels.{at}", level, scheme, stations)
        for number, part in enumerate(level.parts):
            if part.kind == "paper":
                known, asked, fit = len(faults), asked_of(level, skills), fit_for(level, items)
                _check_paper(faults, f"levels.{at}.parts.{number}", part, asked, fit)
                if len(faults) == known:
                    faults.extend(_check_parallel(f"levels.{at}.parts.{number}", part, scheme, asked, fit))
    return faults


def _want_date(faults: _Faults, part: str, text: str) -> None:
    try:
        date.fromisoformat(text)
    except ValueError:
        faults.add(part, f"{text!r} is not a date", 'write it as "2026-03-31"')


def _check_level(faults: _Faults, path: str, level: Level, scheme: Scheme, stations: Mapping[str, Station]) -> None:
    known = {activity.id for activity in scheme.activities}
    for name in level.activities:
        if name not in known:
            faults.add(f"{path}.activities", f"there is no activity {name}", offer(name, sorted(known)))
    for name, wanted in (
        ("activities", level.activities),
        ("prerequisites", level.prerequisites),
        ("parts", level.parts),
    ):
        if not wanted:
            faults.add(f"{path}.{name}", f"level {level.level} has no {name}", f"write {name}")
    for name in ("name", "scope", "renewal", "lapse"):
        if not getattr(level, name).strip():
            faults.add(f"{path}.{name}", f"level {level.level} says nothing about {name}", f"write {name}")
    if not 1 <= level.surveillance.every_months < level.valid_months:
        faults.add(f"{path}.surveillance", "no surveillance before the certificate ends", "make it more frequent")
    _check_renewal(faults, path, level)
    kinds = {part.kind for part in level.parts}
    if level.parts and kinds != {"paper", "stations"}:
        lacks = ", ".join(sorted({"paper", "stations"} - kinds))
        faults.add(f"{path}.parts", f"level {level.level} has no part of kind {lacks}", "add it")
    for at, part in enumerate(level.parts):
        _check_part(faults, f"{path}.parts.{at}", part, level, stations)


def _check_renewal(faults: _Faults, path: str, level: Level) -> None:
    """Name what a renewal asks for and the level does not have; a renewal without papers or stations is none."""
    wanted = level.renews_with
    if wanted is None:
        return
    papers = {part.id for part in level.parts if part.kind == "paper"}
    stations = {name for part in level.parts for name in part.stations}
    for name, asked, known in (("parts", wanted.parts, papers), ("stations", wanted.stations, stations)):
        if not asked:
            faults.add(f"{path}.renews_with.{name}", f"a renewal without {name}", "name one or more")
        for each in asked:
            if each not in known:
                what_to_do = f"level {level.level} has {', '.join(sorted(known)) or 'none'}"
                faults.add(f"{path}.renews_with.{name}", f"a renewal with {each}, which is not there", what_to_do)


def _check_part(faults: _Faults, path: str, part: Part, level: Level, stations: Mapping[str, Station]) -> None:
    if part.cut is None:
        faults.add(path, f"the part {part.id} has no adopted cut", "write cut: percent, method, judges and so on")
    else:
        if not 0 < part.cut.percent <= 100:
            faults.add(f"{path}.cut", f"a cut of {part.cut.percent:g} %", "write a share between 0 and 100")
        if not part.cut.adopted_by.strip() or not part.cut.method.strip() or part.cut.judges < 1:
            faults.add(f"{path}.cut", "the cut has no method, no judges or nobody who adopted it", "write all three")
        _want_date(faults, f"{path}.cut.set_on", part.cut.set_on)
    if part.kind == "stations":
        if not part.stations:
            faults.add(path, f"the part {part.id} names no station", "write stations: [ID]")
        for name in part.stations:
            if name not in stations:
                faults.add(
                    f"{path}.stations",
                    f"there is no station {name}",
                    offer(name, stations) if stations else "write it in course/stations/",
                )
            elif level.level not in stations[name].levels:
                faults.add(
                    f"{path}.stations", f"the station {name} is not for level {level.level}", "add it to its levels"
                )
            elif part.cut is not None and stations[name].cut_percent != part.cut.percent:
                marked = stations[name].cut_percent
                what = f"the cut is {part.cut.percent:g} %, the station {name} is marked with {marked} %"
                faults.add(f"{path}.cut", what, "write the same in both")
        return
    if not part.blueprint:
        faults.add(path, f"the paper {part.id} has no blueprint", "write blueprint: duty, demand, count")


def _check_paper(
    faults: _Faults, path: str, part: Part, skills: Mapping[str, Skill], items: Mapping[str, Item]
) -> None:
    """Fill every cell of a blueprint from the exam items, each item once, enemies never together.

    Of a cell that is none, or that the bank cannot fill, the critical items of the paper only follow: they are told
    when every cell can be filled.
    """
    before = len(faults)
    _check_cells(faults, path, part, skills)
    if len(faults) > before:
        return
    slots: list[tuple[int, Set[str]]] = []
    for at, row in enumerate(part.blueprint):
        slots += [(at, set(apart(candidates(row, skills, items))))] * row.count
    short = unfilled([fitting for _, fitting in slots])
    for at in sorted({slots[slot][0] for slot in short}):
        row = part.blueprint[at]
        have = len(next(fitting for number, fitting in slots if number == at))
        kinds = f" of kind {' or '.join(row.kinds)}" if row.kinds else ""
        what = (
            f"cell {row.duty}/{row.demand} of {part.id} wants {row.count} exam items{kinds}, the bank can fill {have}"
        )
        faults.add(f"{path}.blueprint.{at}", what, "write more exam items for it, or ask for fewer")
    if short:
        return
    critical = sum(items[name].critical for name in set().union(*(fitting for _, fitting in slots)))
    if critical < part.critical_items:
        what = f"the paper {part.id} wants {part.critical_items} critical items, its cells can hold {critical}"
        faults.add(f"{path}.critical_items", what, "mark exam items with critical: true")
    spare = [sum(not item.critical for item in candidates(row, skills, items)) for row in part.blueprint]
    forced = sum(max(0, row.count - free) for row, free in zip(part.blueprint, spare, strict=True))
    if forced > part.critical_items:
        what = f"the paper {part.id} wants {part.critical_items} critical items, its cells force {forced} into it"
        faults.add(f"{path}.critical_items", what, "write exam items that are not critical, or ask for more")


def _check_cells(faults: _Faults, path: str, part: Part, skills: Mapping[str, Skill]) -> None:
    """Name the cells of a blueprint that no item can fill, whatever the bank holds."""
    duties = sorted({skill.duty for skill in skills.values()})
    for at, row in enumerate(part.blueprint):
        cell = f"{path}.blueprint.{at}"
        if row.duty not in duties:
            faults.add(f"{cell}.duty", f"no skill belongs to the duty {row.duty}", offer(row.duty, duties))
        for kind in row.kinds:
            if kind not in KINDS:
                faults.add(f"{cell}.kinds", f"there is no kind of item {kind}", offer(kind, KINDS))
        if row.count < 1:
            faults.add(f"{cell}.count", "a cell that asks for nothing", "write count: 1 or more")


def _check_parallel(
    path: str, part: Part, scheme: Scheme, skills: Mapping[str, Skill], items: Mapping[str, Item]
) -> Iterator[SourceError]:
    """Yield why papers of a part cannot be drawn to its cut: items without an expected share, or a cut out of reach."""
    if scheme.parallel_percent is None or part.cut is None or not 0 < part.cut.percent <= 100:
        return
    cells = [candidates(row, skills, items) for row in part.blueprint]
    unrated = sorted({item.id for cell in cells for item in cell if item.expected_percent is None})
    if unrated:
        what = f"papers of {part.id} are to be parallel, and {len(unrated)} of its items have no expected share: "
        what_to_do = "write expected_percent at each exam item: the mean of your judges' ratings"
        yield SourceError(scheme.place.within(f"{path}.blueprint"), what + unrated[0], what_to_do)
        return
    rated = [sorted(item.expected_percent or 0 for item in cell) for cell in cells]
    count = sum(row.count for row in part.blueprint) or 1
    least = sum(sum(cell[: row.count]) for row, cell in zip(part.blueprint, rated, strict=True)) / count
    most = sum(sum(cell[-row.count :]) for row, cell in zip(part.blueprint, rated, strict=True)) / count
    if not least <= part.cut.percent <= most:
        what = f"just-able candidates reach {least:.1f} to {most:.1f} % of papers of {part.id}, the cut is "
        what_to_do = "the cut is what they reach: write one in between, or easier or harder items"
        yield SourceError(scheme.place.within(f"{path}.cut"), f"{what}{part.cut.percent:g} %", what_to_do)


def asked_of(level: Level, skills: Mapping[str, Skill]) -> Mapping[str, Skill]:
    """Return the skills that papers of a level may ask: those of its readers."""
    return {name: skill for name, skill in skills.items() if level.audience in skill.audience}


def fit_for(level: Level, items: Mapping[str, Item]) -> Mapping[str, Item]:
    """Return the items that papers of a level may ask: none that only a higher level may look into."""
    return {name: item for name, item in items.items() if kind_of(item).level(item) <= level.level}


def candidates(row: BlueprintRow, skills: Mapping[str, Skill], items: Mapping[str, Item]) -> list[Item]:
    """Return the exam items that fit one cell of a blueprint."""
    return [
        item
        for item in items.values()
        if item.use == "exam"
        and item.skill in skills
        and skills[item.skill].duty == row.duty
        and item.demand == row.demand
        and (not row.kinds or tag_of(item) in row.kinds)
    ]


def apart(items: Sequence[Item]) -> list[str]:
    """Return ids of items that may stand in one paper together, taken in order."""
    taken: dict[str, Item] = {}
    for item in items:
        if not any(item.id in other.enemies or other.id in item.enemies for other in taken.values()):
            taken[item.id] = item
    return list(taken)


def unfilled(slots: Sequence[Set[str]]) -> list[int]:
    """Return the slots left empty when as many as possible hold one item each, no item in two slots."""
    holder: dict[str, int] = {}

    def place(slot: int, tried: set[str]) -> bool:
        for name in sorted(slots[slot] - tried):
            tried.add(name)
            if name not in holder or place(holder[name], tried):
                holder[name] = slot
                return True
        return False

    return [slot for slot in range(len(slots)) if not place(slot, set())]


NO_SCHEME = Scheme(
    id="", version="", title="", owner="", job_analysis="", job_analysis_on="", activities=(), levels=(), reasons=(),
    conflict_months=0, notice_days=0, appeals=Appeals(within_days=0, decided_within_days=0, by=""), conduct=(),
    claim="",
)  # fmt: skip
"""Stands where a scheme could not be read, so that the other sources are looked through all the same."""
