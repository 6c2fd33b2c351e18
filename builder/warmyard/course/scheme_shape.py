"""Ids and bounds of a scheme: what the ledger could not hold, or what would make a requirement mean nothing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from warmyard.course.scheme_model import Level, Part, Scheme
from warmyard.errors import SourceError

HELD_LEVEL = re.compile(r"level-([0-9]{1,2})\Z")
"""A prerequisite with such a name is another level, held."""
SURVEILLANCE = "surveillance"
"""Evidence with this name is a surveillance that was passed."""
_ID = re.compile(r"[a-z0-9-]{1,40}\Z")
_LONGEST_VERSION = 40
_MONTHS, _DAYS = 600, 3650
"""Fifty and ten years: nothing in a scheme lasts longer."""


def check_ids(scheme: Scheme) -> Iterator[SourceError]:
    """Yield the ids that have another shape or stand twice; entries of a scheme know no place of their own."""
    yield from _check_list(scheme, "", "the scheme", [scheme.id], "id")
    yield from _check_list(scheme, "activities", "activities", [each.id for each in scheme.activities])
    yield from _check_list(scheme, "reasons", "reasons", [each.id for each in scheme.reasons])
    numbers = [level.level for level in scheme.levels]
    for at, level in enumerate(scheme.levels):
        path = f"levels.{at}"
        if level.level in numbers[:at]:
            yield _fault(scheme, path, f"level {level.level} stands twice", "number each level once")
        where = f"level {level.level}"
        wanted = [each.id for each in level.prerequisites]
        yield from _check_list(scheme, f"{path}.prerequisites", f"prerequisites of {where}", wanted)
        yield from _check_list(scheme, f"{path}.parts", f"parts of {where}", [part.id for part in level.parts])
        stations = [name for part in level.parts for name in part.stations]
        yield from _check_list(scheme, f"{path}.parts", f"stations of {where}", stations)
        yield from _check_prerequisites(scheme, path, level, numbers)


def _check_list(scheme: Scheme, path: str, what: str, ids: Iterable[str], name: str = "") -> Iterator[SourceError]:
    seen: set[str] = set()
    for at, each in enumerate(ids):
        part = name or f"{path}.{at}"
        if not _ID.match(each):
            shape = "write 1 to 40 small letters, digits and dashes"
            yield _fault(scheme, part, f"{each!r} is no id in {what}", shape)
        if each in seen:
            yield _fault(scheme, part, f"{each} stands twice in {what}", "give each its own id")
        seen.add(each)


def _check_prerequisites(scheme: Scheme, path: str, level: Level, numbers: list[int]) -> Iterator[SourceError]:
    for at, wanted in enumerate(level.prerequisites):
        part = f"{path}.prerequisites.{at}"
        held = HELD_LEVEL.match(wanted.id)
        lower = [number for number in numbers if number < level.level]
        if held and int(held.group(1)) not in lower:
            offered = ", ".join(map(str, lower)) or "none"
            what = f"level {level.level} rests on {wanted.id}, which is no lower level of this scheme"
            yield _fault(scheme, part, what, f"lower levels are {offered}")
        if wanted.id == SURVEILLANCE:
            what = "a prerequisite by the name of the surveillance, which would count for both"
            yield _fault(scheme, part, what, "give it another id")


def check_bounds(scheme: Scheme) -> Iterator[SourceError]:
    """Yield every number of a scheme that is beyond what can be meant."""
    yield from _check_number(scheme, "conflict_months", scheme.conflict_months, 1, _MONTHS)
    yield from _check_number(scheme, "notice_days", scheme.notice_days, 1, _DAYS)
    yield from _check_number(scheme, "appeals", scheme.appeals.within_days, 1, _DAYS)
    yield from _check_number(scheme, "appeals", scheme.appeals.decided_within_days, 1, _DAYS)
    if len(scheme.version) > _LONGEST_VERSION:
        yield _fault(scheme, "version", f"a version of {len(scheme.version)} characters", "write 40 or fewer")
    for at, level in enumerate(scheme.levels):
        path = f"levels.{at}"
        yield from _check_number(scheme, f"{path}.level", level.level, 1, 99)
        yield from _check_number(scheme, f"{path}.valid_months", level.valid_months, 1, _MONTHS)
        yield from _check_number(scheme, f"{path}.surveillance.grace_days", level.surveillance.grace_days, 0, _DAYS)
        yield from _check_number(scheme, f"{path}.re_sit.attempts", level.re_sit.attempts, 1, 99)
        yield from _check_number(scheme, f"{path}.re_sit.wait_days", level.re_sit.wait_days, 0, _DAYS)
        yield from _check_number(scheme, f"{path}.re_sit.within_months", level.re_sit.within_months, 1, _MONTHS)
        if level.renews_with:
            months = level.renews_with.months_after
            yield from _check_number(scheme, f"{path}.renews_with.months_after", months, 0, _MONTHS)
        for number, wanted in enumerate(level.prerequisites):
            # None is asked for by leaving it out: a count of nothing would look like a requirement and be none.
            yield from _check_number(scheme, f"{path}.prerequisites.{number}.count", wanted.count, 1, 1_000_000)
            if wanted.valid_months is not None:
                where = f"{path}.prerequisites.{number}.valid_months"
                yield from _check_number(scheme, where, wanted.valid_months, 1, _MONTHS)
        for number, part in enumerate(level.parts):
            yield from _check_part(scheme, f"{path}.parts.{number}", part)


def _check_part(scheme: Scheme, path: str, part: Part) -> Iterator[SourceError]:
    least = 1 if part.kind == "paper" else 0
    yield from _check_number(scheme, f"{path}.minutes", part.minutes, least, 1440)
    yield from _check_number(scheme, f"{path}.critical_items", part.critical_items, 0, 500)
    if part.cut and not 0 <= part.cut.standard_error <= 100:
        yield _fault(scheme, f"{path}.cut", f"a standard error of {part.cut.standard_error:g} %", "write 0 to 100")


def _check_number(scheme: Scheme, part: str, value: int, least: int, most: int) -> Iterator[SourceError]:
    if not least <= value <= most:
        name = part.rpartition(".")[2].replace("_", " ")
        yield _fault(scheme, part, f"{name}: {value} is out of bounds", f"write {least} to {most}")


def _fault(scheme: Scheme, part: str, what: str, what_to_do: str) -> SourceError:
    return SourceError(scheme.place.within(part), what, what_to_do)
