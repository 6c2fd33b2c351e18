"""The proof: every fault inside a source and between the sources, each once, none that only follows from another."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

from warmyard.course.company import check_company
from warmyard.course.edition import check_edition, check_first_pages
from warmyard.course.fleet import check_sheets
from warmyard.course.following import may_follow, sound_items
from warmyard.course.picture import check_pictures
from warmyard.course.procedure import check_procedures
from warmyard.course.references import check_pages, check_references
from warmyard.course.results import check_results
from warmyard.course.rules import check_rules
from warmyard.course.scheme import NO_SCHEME, check_scheme
from warmyard.course.stamp import take_stamp
from warmyard.course.station import check_stations
from warmyard.course.workspace import NO_MACHINE, Faults, Workspace, each_once, load_workspace
from warmyard.errors import SourceError, SourceErrors
from warmyard.formula.fuel import check_fuels
from warmyard.formula.register import check_register
from warmyard.item.check import check_items
from warmyard.item.instrument import check_instruments
from warmyard.machine.load import check_machine
from warmyard.words import speaking


def read_proved(
    root: Path, *, country: str | None = None, bank: Path | None = None, cache: Path | None = None
) -> Workspace:
    """Return the whole workspace, proved; raise SourceErrors with every fault of reading and proving in one list.

    `cache` is the folder of stamps: what bears a valid one is not proved again, what is proved gets one. Without a
    folder everything is proved. `country` and `bank` are those of `read_workspace`.
    """
    stamp = take_stamp(root, country=country, bank=bank, cache=cache)
    faults: Faults = defaultdict(list)
    workspace = load_workspace(root, faults, country=country, bank=bank)
    if not any(faults.values()) and stamp.is_kept() and stamp.still_true():
        return workspace
    found = [*(fault for of_kind in faults.values() for fault in of_kind), *prove_workspace(workspace, faults)]
    if found:
        raise SourceErrors(each_once(found))
    if stamp.still_true():
        stamp.keep()
    return workspace


def prove_workspace(workspace: Workspace, unread: Faults | None = None) -> list[SourceError]:
    """Return the faults inside the sources and between them.

    `unread` holds the faults of reading by their kind, where some sources could not be read: what only follows from
    them is left out.
    """
    with speaking(workspace.words):
        return _prove(workspace, unread)


def _prove(workspace: Workspace, unread: Faults | None) -> list[SourceError]:
    inside = _faults_inside(workspace)
    faults: Faults = defaultdict(list)
    for found in (unread or {}, inside):
        for kind, of_kind in found.items():
            faults[kind] += of_kind
    together = [fault for fault in check_together(workspace, faults) if not may_follow(fault, workspace, faults)]
    return each_once([*(fault for of_kind in inside.values() for fault in of_kind), *together])


def check_together(workspace: Workspace, faults: Faults) -> list[SourceError]:
    """Return the faults between sources: wrong names, wrong editions, an incomplete scheme, unsound items."""
    found = check_references(workspace) + check_pages_alone(workspace)
    found += check_fuels(workspace.fuels, workspace.register.formulas)
    if workspace.scheme is not NO_SCHEME and not faults["item"] and not faults["skill"]:
        found += check_scheme(workspace.scheme, workspace.skills, workspace.stations, workspace.items)
    return found + check_items(sound_items(workspace, faults), workspace.surroundings, workspace.items)


def check_pages_alone(workspace: Workspace) -> list[SourceError]:
    """Return the faults of the pages: names in them, and what does not belong in their edition."""
    found = check_pages(workspace) + check_first_pages(workspace.lessons)
    for lesson in workspace.lessons.values():
        found += check_edition(lesson, workspace.items, workspace.procedures)
    return found


def _faults_inside(workspace: Workspace) -> dict[str, list[SourceError]]:
    """Return by kind the faults that each source has by itself."""
    return {
        "company": check_company(workspace.company),
        "rule": check_rules(workspace.rules_by_country),
        "formula": check_register(workspace.register),
        "machine": [] if workspace.machine is NO_MACHINE else check_machine(workspace.machine),
        "procedure": check_procedures(workspace.procedures.values()),
        "picture": check_pictures(workspace.pictures.values(), workspace.drawings),
        "instrument": check_instruments(workspace.surroundings.instruments.values()),
        "sheet": check_sheets(workspace.sheets),
        "station": check_stations(workspace.stations.values()),
        "result": check_results(workspace.results, workspace.lessons.values()),
    }
