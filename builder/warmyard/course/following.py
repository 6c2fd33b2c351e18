"""Faults that only follow from others: an id of a file that cannot be read, an item on a faulty formula."""

from __future__ import annotations

import re
from pathlib import Path

from warmyard.course.values import FollowingError
from warmyard.course.workspace import Faults, Workspace
from warmyard.errors import SourceError
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item
from warmyard.sources import read_document, read_text


def sound_items(workspace: Workspace, faults: Faults) -> list[Item]:
    """Return the items whose formulas, machine, procedure or drawing have no fault of their own.

    The others would only repeat a fault that is already reported where it stands.
    """
    faulty = faulty_formulas(workspace, faults["formula"])
    return [item for item in workspace.items.values() if _stands_on_sound(workspace, item, faults, faulty)]


def _stands_on_sound(workspace: Workspace, item: Item, faults: Faults, faulty: set[str]) -> bool:
    kind = kind_of(item)
    if any(faults[source] for source in kind.rests_on(item)):
        return False
    taken = any(draw.sheet or draw.rule for draw in kind.draws(item).values())
    if taken and (faults["sheet"] or faults["rule"]):
        return False
    named, known = set(kind.formulas(item)), workspace.register.formulas
    return not named & faulty and not (faults["formula"] and any(name not in known for name in named))


def faulty_formulas(workspace: Workspace, faults: list[SourceError]) -> set[str]:
    """Return the ids of the formulas in whose lines a fault stands."""
    found = set()
    for fault in faults:
        above = [
            formula
            for formula in workspace.register.formulas.values()
            if formula.place.file == fault.place.file and formula.place.line <= fault.place.line
        ]
        if above:
            found.add(max(above, key=lambda formula: formula.place.line).id)
    return found


def may_follow(fault: SourceError, workspace: Workspace, faults: Faults) -> bool:
    """Say whether a fault only follows from one in the source that it names, such as an id in a file not read."""
    if not isinstance(fault, FollowingError) or not faults.get(fault.kind):
        return False
    if fault.kind == "formula" and fault.name in workspace.register.formulas:
        return fault.name in faulty_formulas(workspace, faults["formula"])
    files = {found.place.file for found in faults[fault.kind]}
    return any(_may_hold(workspace.root / file, fault.name) for file in files)


def _may_hold(path: Path, name: str) -> bool:
    """Say whether a faulty file could hold a name: it cannot be read as YAML, or the name stands in it."""
    try:
        read_document(path, path.parent)
        return re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", read_text(path, path.parent)) is not None
    except SourceError:
        return True
