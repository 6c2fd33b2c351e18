"""Items on sound ground: the others would only repeat a fault that is already reported where it stands."""

from __future__ import annotations

from collections.abc import Iterable

from warmyard.course.workspace import Workspace
from warmyard.errors import Faults, SourceError
from warmyard.item.kinds import FaultCase, Item, Numeric, Ordering, PicturePoint, Reading


def sound_items(workspace: Workspace, faults: Faults) -> list[Item]:
    """Return the items without a fault in their lines whose formulas, machine, procedure or drawing have none."""
    at_fault = {(fault.place.file, fault.place.line) for fault in faults.get("item", ())}
    formulas = faulty_formulas(workspace, faults.get("formula", ()))
    return [
        item
        for item in workspace.items.values()
        if not at_fault & lines_of(item) and _stands_on_sound(workspace, item, faults, formulas)
    ]


def lines_of(item: Item) -> set[tuple[str, int]]:
    """Return file and number of each line in which a part of an item begins."""
    return {(item.place.file, line) for line in (item.place.line, *item.place.parts.values())}


def _stands_on_sound(workspace: Workspace, item: Item, faults: Faults, faulty: set[str]) -> bool:
    if isinstance(item, Ordering):
        return not faults.get("procedure")
    if isinstance(item, FaultCase):
        return not faults.get("machine")
    if isinstance(item, PicturePoint):
        return not faults.get("picture")
    if isinstance(item, Reading) and faults.get("instrument"):
        return False
    if isinstance(item, Numeric | Reading) and (faults.get("sheet") or faults.get("rule")):
        return not any(draw.sheet or draw.rule for draw in item.draw.values())
    if isinstance(item, Numeric):
        named = {link.formula for link in item.chain} | ({item.formula} if item.formula else set())
        known = workspace.register.formulas
        return not named & faulty and not (faults.get("formula") and any(name not in known for name in named))
    return True


def faulty_formulas(workspace: Workspace, faults: Iterable[SourceError]) -> set[str]:
    """Return the ids of the formulas that have a fault."""
    lost = list(faults)
    return {id for id in workspace.register.formulas if any(fault.may_lose(id) for fault in lost)}
