"""Draws the items of a paper: exact counts by duty, demand and critical items, enemies never together, and as hard
for a just-able candidate as every other paper of the part.

Within a cell those items come first that were given out least, in an order that the seed alone decides.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from math import fsum

from warmyard.course.model import Skill
from warmyard.course.scheme import candidates
from warmyard.course.scheme_model import BlueprintRow, Part
from warmyard.errors import InputError
from warmyard.item.chance import Chance
from warmyard.item.model import Item

TRIES = 400


class _DeadEndError(Exception):
    """This try cannot be finished; another order of drawing may."""


def draw_part(
    part: Part,
    skills: Mapping[str, Skill],
    items: Mapping[str, Item],
    chance: Chance,
    exposure: Mapping[str, int] | None = None,
    *,
    limit: int | None = None,
    parallel_percent: float | None = None,
) -> list[Item]:
    """Return the items of one part in mixed order; `exposure` counts the papers that an item stood in already.

    Items that stood in `limit` papers are retired. With `parallel_percent` the paper is drawn to the cut: the share
    that just-able candidates are expected to reach lies so near it that any two papers are at most that far apart.
    Raises InputError when the bank cannot fill the blueprint in a bounded number of tries.
    """
    given = exposure or {}
    open_to = items if limit is None else {name: item for name, item in items.items() if given.get(name, 0) < limit}
    cells = [candidates(row, skills, open_to) for row in part.blueprint]
    alike = {} if parallel_percent is None else _alike(cells)
    for again in range(TRIES):
        # Least exposed first may run into enemies for ever; the second half of the tries takes any order.
        prefer = given if again < TRIES // 2 else {}
        try:
            drawn = _draw_once(part, cells, chance, prefer)
            return chance.mixed(_to_the_cut(part, drawn, alike, chance, prefer, parallel_percent))
        except _DeadEndError:
            continue
    retired = len(items) - len(open_to)
    why = f" without the {retired} items that were in {limit} papers already" if retired else ""
    raise InputError(f"the bank cannot fill the blueprint of {part.id}{why}; run `warmyard check`, or add exam items")


def _draw_once(part: Part, cells: Sequence[Sequence[Item]], chance: Chance, exposure: Mapping[str, int]) -> list[Item]:
    taken: dict[str, Item] = {}
    shares = _share_critical(part, cells, chance)
    wants = [
        (row, [item for item in cell if item.critical == critical], share if critical else row.count - share)
        for row, cell, share in zip(part.blueprint, cells, shares, strict=True)
        for critical in (True, False)
    ]
    for row, cell, count in sorted(wants, key=lambda want: len(want[1]) - want[2]):
        mixed = sorted(chance.mixed(list(cell)), key=lambda item: exposure.get(item.id, 0))
        _draw_cell(row, mixed, count, taken)
    return list(taken.values())


def _draw_cell(row: BlueprintRow, cell: Iterable[Item], count: int, taken: dict[str, Item]) -> None:
    """Add a number of items of a cell, the first that fit, to those taken."""
    left = count
    for item in cell:
        if left and item.id not in taken and not any(are_enemies(item, other) for other in taken.values()):
            taken[item.id] = item
            left -= 1
    if left:
        raise _DeadEndError(row.duty)


def expected_share(items: Sequence[Item]) -> float:
    """Return the share, in percent, that a just-able candidate is expected to reach; items without one count as 0."""
    return fsum(item.expected_percent or 0 for item in items) / max(1, len(items))


def _to_the_cut(
    part: Part,
    drawn: list[Item],
    alike: Mapping[str, Sequence[Item]],
    chance: Chance,
    exposure: Mapping[str, int],
    parallel_percent: float | None,
) -> list[Item]:
    """Return the items, some changed for others of their cell until the paper is as hard as the part says."""
    if parallel_percent is None or part.cut is None:
        return drawn
    widest = parallel_percent / 2 * len(drawn) + 1e-9
    for _ in range(len(drawn) + 1):
        off = (expected_share(drawn) - part.cut.percent) * len(drawn)
        if abs(off) <= widest:
            return drawn
        drawn = _nearer(drawn, alike, chance, exposure, off)
    raise _DeadEndError(part.id)


def _nearer(
    drawn: list[Item], alike: Mapping[str, Sequence[Item]], chance: Chance, exposure: Mapping[str, int], off: float
) -> list[Item]:
    """Return the paper after the one change of an item that brings it nearest; of those the least exposed."""
    taken = {item.id for item in drawn}
    best = (abs(off), 0)
    nearer: list[Item] = []
    for old in chance.mixed(drawn):
        others = [item for item in drawn if item is not old]
        for new in alike[old.id]:
            left = abs(off - (old.expected_percent or 0) + (new.expected_percent or 0))
            found = (round(left, 9), exposure.get(new.id, 0))
            if new.id not in taken and found < best and not any(are_enemies(new, other) for other in others):
                best, nearer = found, [*others, new]
    if not nearer:
        raise _DeadEndError("no change of one item brings the paper nearer")
    return nearer


def _alike(cells: Sequence[Sequence[Item]]) -> dict[str, Sequence[Item]]:
    """Return for each item those that may stand in its place: they fit the same rows and are critical like it."""
    fits: dict[str, list[int]] = defaultdict(list)
    items: dict[str, Item] = {}
    for at, cell in enumerate(cells):
        for item in cell:
            items[item.id] = item
            fits[item.id].append(at)
    groups: dict[tuple[object, ...], list[Item]] = defaultdict(list)
    for name, rows in fits.items():
        groups[items[name].critical, *rows].append(items[name])
    return {name: groups[items[name].critical, *rows] for name, rows in fits.items()}


def are_enemies(item: Item, other: Item) -> bool:
    """Say whether two items never stand in one paper, because one gives the other away or asks the same."""
    return item.id in other.enemies or other.id in item.enemies


def _share_critical(part: Part, cells: Sequence[Sequence[Item]], chance: Chance) -> list[int]:
    """Return how many critical items each row gets, so that the part has exactly as many as the scheme says."""
    critical = [sum(item.critical for item in cell) for cell in cells]
    shares = [
        max(0, row.count - (len(cell) - have)) for row, cell, have in zip(part.blueprint, cells, critical, strict=True)
    ]
    most = [min(row.count, have) for row, have in zip(part.blueprint, critical, strict=True)]
    while sum(shares) < part.critical_items:
        room = [at for at, share in enumerate(shares) for _ in range(most[at] - share)]
        if not room:
            raise _DeadEndError(part.id)
        shares[chance.pick(room)] += 1
    if sum(shares) > part.critical_items or any(share > top for share, top in zip(shares, most, strict=True)):
        raise _DeadEndError(part.id)
    return shares
