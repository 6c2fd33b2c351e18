"""The proof: every fault inside a source and between the sources, each once, none that only follows from another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from functools import partial
from pathlib import Path

from warmyard.cores import meanwhile
from warmyard.course.charts import check_charts
from warmyard.course.company import check_company
from warmyard.course.decks import check_decks
from warmyard.course.edition import check_edition, check_first_pages
from warmyard.course.fleet import check_contexts, check_fuels_named, check_serials, check_sheets
from warmyard.course.following import sound_items
from warmyard.course.help_call import faults_of_help_calls
from warmyard.course.laws import check_rule_laws, check_sheet_laws
from warmyard.course.picture import check_pictures
from warmyard.course.procedure import check_procedures
from warmyard.course.prose import check_markup, check_typed_numbers
from warmyard.course.published import check_claims, check_published
from warmyard.course.reading import check_reading
from warmyard.course.references import check_pages, faults_between, names_used
from warmyard.course.results import check_results
from warmyard.course.rules import check_public_numbers, check_ranges, check_rules
from warmyard.course.scheme import NO_SCHEME, check_scheme
from warmyard.course.stamp import open_book, take_stamp
from warmyard.course.station import check_stations
from warmyard.course.step_check import check_steps
from warmyard.course.stop_rules import check_stop_rules
from warmyard.course.stop_sources import check_stops
from warmyard.course.taught import check_taught
from warmyard.course.typed_telephone import faults_of_typed_telephones
from warmyard.course.workspace import FaultsFound, Workspace, each_once, load_workspace
from warmyard.errors import Faults, SourceError, SourceErrors, SourceKind, root_causes
from warmyard.formula.fuel import check_fuels
from warmyard.formula.register import check_register
from warmyard.item.check import check_items
from warmyard.item.instrument import check_instruments
from warmyard.kept import Book
from warmyard.machine.load import check_machine
from warmyard.words import speaking, spoken

SCHEME_RESTS_ON: tuple[SourceKind, ...] = ("item", "skill", "station")


def read_proved(
    root: Path,
    *,
    country: str | None = None,
    bank: Path | None = None,
    cache: Path | None = None,
) -> Workspace:
    """Return the whole workspace, proved; raise SourceErrors with every fault of reading and proving in one list.

    `cache` is the folder of stamps and books: what bears a valid stamp is not proved again, what is proved gets one,
    and of what was changed only those items are drawn again that rest on it. Without a folder everything is proved.
    `country` and `bank` are those of `read_workspace`.
    """
    stamp = take_stamp(root, country=country, bank=bank, cache=cache)
    faults: FaultsFound = defaultdict(list)
    workspace = load_workspace(root, faults, country=country, bank=bank)
    if not any(faults.values()) and stamp.is_kept() and stamp.still_true():
        return workspace
    known = open_book(root, "proved", country=country, bank=bank, cache=cache)
    found = prove_workspace(workspace, faults, known)
    known.close()
    if found:
        raise SourceErrors(found)
    if stamp.still_true():
        stamp.keep()
    return workspace


def prove_workspace(workspace: Workspace, unread: Faults | None = None, book: Book | None = None) -> list[SourceError]:
    """Return the faults inside the sources and between them, each once, none that only follows from another.

    `unread` holds the faults of reading by their kind, where some sources could not be read: they are in the list too.
    """
    with speaking(workspace.words):
        return _prove(workspace, unread, book)


def _prove(workspace: Workspace, unread: Faults | None, book: Book | None) -> list[SourceError]:
    faults: FaultsFound = defaultdict(list)
    for kind, of_kind in (unread or {}).items():
        faults[kind] += of_kind
    kept = Book() if book is None else book
    # Sound sources are the rule: what lies between them is looked at beside the rest, and again where faults were met.
    may_be_faulty = meanwhile(partial(_has_faults_of_names, workspace, {**faults}))
    _add(faults, _faults_inside(workspace, faults, kept))
    together = {} if any(faults.values()) else _faults_together(workspace, faults, kept)
    if may_be_faulty() or any(faults.values()):
        _add(faults, _faults_of_names(workspace, faults))
        together = _faults_together(workspace, faults, kept)
    _add(faults, together)
    return each_once(root_causes(faults))


def _has_faults_of_names(workspace: Workspace, faults: Faults) -> bool:
    return any(_faults_of_names(workspace, faults).values())


def _add(faults: FaultsFound, found: Mapping[SourceKind, list[SourceError]]) -> None:
    for kind, some in found.items():
        faults[kind] += some


def _faults_inside(workspace: Workspace, faults: Faults, book: Book) -> dict[SourceKind, list[SourceError]]:
    """Return by kind the faults that each source has by itself."""
    register, machine = workspace.register, workspace.machine
    used = names_used(workspace.lessons.values(), register.formulas.values())
    return {
        "company": check_company(workspace.company),
        "rule": _faults_of_rules(workspace, used.get("rule", ())),
        "formula": book.sound("register", [register.formulas, spoken()], lambda: check_register(register)),
        "machine": [] if faults.get("machine") else book.sound("machine", [machine], lambda: check_machine(machine)),
        "procedure": check_procedures(workspace.procedures.values()),
        "picture": check_pictures(workspace.pictures.values(), workspace.drawings),
        "instrument": check_instruments(workspace.surroundings.instruments.values()),
        "sheet": _faults_of_sheets(workspace, used.get("sheet", ()), faults.get("sheet", ())),
        "station": check_stations(workspace.stations.values()),
        "stop": check_stop_rules(workspace.stops),
        "page": check_results(workspace.lessons.values()),
    }


def _faults_of_rules(workspace: Workspace, used: Collection[str]) -> list[SourceError]:
    found = check_rules(workspace.rules_by_country, used)
    for more in (
        lambda told: check_rule_laws(workspace.rules_by_country, workspace.rule_laws, told),
        lambda told: check_public_numbers(workspace.rules_by_country, workspace.public_numbers),
        lambda told: check_ranges(workspace.rules_by_country, workspace.register.formulas.values()),
    ):
        told = {fault.place for fault in found}
        found += [fault for fault in more(told) if fault.place not in told]
    return found


def _faults_of_sheets(workspace: Workspace, used: Collection[str], unread: Iterable[SourceError]) -> list[SourceError]:
    """Return what cannot be in the sheets; of a value that is told already nothing more is asked."""
    told = {fault.place for fault in unread}
    found = [fault for fault in check_sheets(workspace.sheets, used, workspace.sheet_fields) if fault.place not in told]
    found += check_contexts(workspace.machine, workspace.sheets)
    found += [*check_serials(workspace.sheets), *check_fuels_named(workspace.sheets, workspace.fuels)]
    told |= {fault.place for fault in found}
    return [*found, *check_sheet_laws(workspace.sheets, workspace.sheet_laws, workspace.sheet_fields, told)]


def _faults_of_names(workspace: Workspace, faults: Faults) -> dict[SourceKind, list[SourceError]]:
    """Return by kind the faults of what names something in another source."""
    found: FaultsFound = defaultdict(list)
    of_numbers = [faults_of_typed_telephones(workspace), {} if faults.get("rule") else faults_of_help_calls(workspace)]
    for of_some in (faults_between(workspace), *of_numbers):
        for kind, some in of_some.items():
            found[kind] += some
    if not faults.get("page"):  # of a page that cannot be read nobody knows what it teaches
        found["item"] += check_taught(workspace.items.values(), workspace.lessons.values())
    found["source"] += [*check_published(workspace.sources.values()), *check_claims(workspace)]
    found["page"] += check_pages_alone(workspace)
    found["chart"] += check_charts(workspace.charts, workspace.shelf)
    found["deck"] += check_decks(workspace.decks, workspace.pictures)
    found["fuel"] += check_fuels(workspace.fuels, workspace.register.formulas)
    return found


def _faults_together(workspace: Workspace, faults: Faults, book: Book) -> dict[SourceKind, list[SourceError]]:
    """Return what does not hold of sources put together, where each is sound: the scheme, and items drawn."""
    scheme: list[SourceError] = []
    whole = not any(faults.get(kind) for kind in SCHEME_RESTS_ON)
    if workspace.scheme is not NO_SCHEME and whole:
        scheme = check_scheme(workspace.scheme, workspace.skills, workspace.stations, workspace.items)
    items = check_items(sound_items(workspace, faults), workspace.surroundings, workspace.items, book)
    stops = [] if faults.get("stop") else check_stops(workspace, book)
    return {"scheme": scheme, "item": items, "stop": stops}


def check_pages_alone(workspace: Workspace) -> list[SourceError]:
    """Return the faults of the pages: names in them, and what does not belong in their edition."""
    found = check_pages(workspace) + check_first_pages(workspace.lessons)
    for lesson in workspace.lessons.values():
        found += check_edition(lesson, workspace.items, workspace.procedures)
        found += [*check_markup(lesson), *check_typed_numbers(lesson, workspace.shelf)]
        found += [*check_reading(lesson, workspace.shelf), *check_steps(lesson, workspace.items)]
    return found
