"""Items on sound ground: the others would only repeat a fault that is already reported where it stands."""

from __future__ import annotations

from collections.abc import Iterable

from warmyard.course.workspace import Workspace
from warmyard.errors import Faults, SourceError
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item


def sound_items(workspace: Workspace, faults: Faults) -> list[Item]:
    """Return the items without a fault in their lines whose formulas, machine, procedure or drawing have none."""
    at_fault = {(fault.place.file, fault.place.line) for fault in faults.get("item", ())}
    formulas = faulty_formulas(workspace, faults.get("formula", ()), faults.get("rule", ()))
    return [
        item
        for item in workspace.items.values()
        if not at_fault & lines_of(item) and _stands_on_sound(workspace, item, faults, formulas)
    ]


def lines_of(item: Item) -> set[tuple[str, int]]:
    """Return file and number of each line in which a part of an item begins."""
    return {(item.place.file, line) for line in (item.place.line, *item.place.parts.values())}


def _stands_on_sound(workspace: Workspace, item: Item, faults: Faults, faulty: set[str]) -> bool:
    kind = kind_of(item)
    if any(faults.get(source) for source in kind.rests_on(item)):
        return False
    taken = any(draw.sheet or draw.rule for draw in kind.draws(item).values())
    if taken and (faults.get("sheet") or faults.get("rule")):
        return False
    named, known = set(kind.formulas(item)), workspace.register.formulas
    return not named & faulty and not (faults.get("formula") and any(name not in known for name in named))


def faulty_formulas(
    workspace: Workspace, faults: Iterable[SourceError], of_rules: Iterable[SourceError] = ()
) -> set[str]:
    """Return the ids of the formulas that have a fault, or take a rule that has one."""
    lost, rules = list(faults), list(of_rules)
    return {
        id
        for id, formula in workspace.register.formulas.items()
        if any(fault.may_lose(id) for fault in lost)
        or any(fault.may_lose(symbol.rule) for symbol in formula.needs if symbol.rule for fault in rules)
    }
