"""Draws the items of a paper: exact counts by duty, demand and critical items, enemies never together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from warmyard.course.model import BlueprintRow, Part, Skill
from warmyard.course.scheme import candidates
from warmyard.errors import InputError
from warmyard.item.chance import Chance
from warmyard.item.kinds import Item

TRIES = 400


class _DeadEndError(Exception):
    """This try cannot be finished; another order of drawing may."""


def draw_part(part: Part, skills: Mapping[str, Skill], items: Mapping[str, Item], chance: Chance) -> list[Item]:
    """Return the items of one part in mixed order.

    Raises InputError when the bank cannot fill the blueprint in a bounded number of tries.
    """
    for _ in range(TRIES):
        try:
            return chance.mixed(_draw_once(part, skills, items, chance))
        except _DeadEndError:
            continue
    raise InputError(f"the bank cannot fill the blueprint of {part.id}; run `warmyard check`, or add exam items")


def _draw_once(part: Part, skills: Mapping[str, Skill], items: Mapping[str, Item], chance: Chance) -> list[Item]:
    taken: dict[str, Item] = {}
    cells = [candidates(row, skills, items) for row in part.blueprint]
    shares = _share_critical(part, cells, chance)
    wants = [
        (row, [item for item in cell if item.critical == critical], share if critical else row.count - share)
        for row, cell, share in zip(part.blueprint, cells, shares, strict=True)
        for critical in (True, False)
    ]
    for row, cell, count in sorted(wants, key=lambda want: len(want[1]) - want[2]):
        _draw_cell(row, cell, count, taken, chance)
    return list(taken.values())


def _draw_cell(row: BlueprintRow, cell: Iterable[Item], count: int, taken: dict[str, Item], chance: Chance) -> None:
    """Add so many items of a cell to those taken."""
    left = count
    for item in chance.mixed(list(cell)):
        if left and item.id not in taken and not any(are_enemies(item, other) for other in taken.values()):
            taken[item.id] = item
            left -= 1
    if left:
        raise _DeadEndError(row.duty)


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
