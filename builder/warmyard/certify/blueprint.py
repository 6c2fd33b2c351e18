"""Draws the items of a paper: exact counts by duty, demand and critical items, enemies never together.

Within a cell those items come first that were given out least, in an order that the seed alone decides.
"""

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


def draw_part(
    part: Part,
    skills: Mapping[str, Skill],
    items: Mapping[str, Item],
    chance: Chance,
    exposure: Mapping[str, int] | None = None,
    limit: int | None = None,
) -> list[Item]:
    """Return the items of one part in mixed order; `exposure` counts the papers that an item stood in already.

    Items that stood in `limit` papers are retired. Raises InputError when the bank cannot fill the blueprint in a
    bounded number of tries.
    """
    given = exposure or {}
    open_to = items if limit is None else {name: item for name, item in items.items() if given.get(name, 0) < limit}
    for again in range(TRIES):
        # Least exposed first may run into enemies for ever; the second half of the tries takes any order.
        prefer = given if again < TRIES // 2 else {}
        try:
            return chance.mixed(_draw_once(part, skills, open_to, chance, prefer))
        except _DeadEndError:
            continue
    retired = len(items) - len(open_to)
    why = f" without the {retired} items that were in {limit} papers already" if retired else ""
    raise InputError(f"the bank cannot fill the blueprint of {part.id}{why}; run `warmyard check`, or add exam items")


def _draw_once(
    part: Part,
    skills: Mapping[str, Skill],
    items: Mapping[str, Item],
    chance: Chance,
    exposure: Mapping[str, int],
) -> list[Item]:
    taken: dict[str, Item] = {}
    cells = [candidates(row, skills, items) for row in part.blueprint]
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
    """Add so many items of a cell, the first that fit, to those taken."""
    left = count
    for item in cell:
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
