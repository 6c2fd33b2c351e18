"""The machines of the company: one data sheet each, every value with its unit."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from functools import partial
from pathlib import Path

from warmyard.course.catalogue import Side, by_id, check_same_names, one_per_file
from warmyard.course.model import Sheet, SheetField
from warmyard.course.sheet_fields import check_known, check_unused, check_values, faulty_fields, with_units
from warmyard.errors import FollowingError, Place, SourceError, SourceKind
from warmyard.fields import nearest
from warmyard.formula.fuel import Fuel
from warmyard.formula.quantity import split_quantity
from warmyard.formula.units import find_unit, show_unit, unit_in
from warmyard.machine.memory import the_very_one
from warmyard.machine.model import Machine
from warmyard.machine.timing import time_fields, timed
from warmyard.sources import relative_name

PERMITTED = "fuel-permitted"
"""The text of a sheet that names every fuel which its plate permits."""
_BETWEEN_FUELS = re.compile(r"\s*(?:,|\bor\b|\band\b|\bonly\b)\s*")


def load_sheets(
    folder: Path, root: Path, faults: list[SourceError], fields: Mapping[str, SheetField] | None = None
) -> Mapping[str, Sheet]:
    """Return the data sheets by machine, in the order of file names; none at all is a fault.

    `fields` say in which unit a value is given that was written as a bare number.
    """
    entries = one_per_file(folder, root, Sheet, faults, before=partial(with_units, fields or {}))
    sheets: Mapping[str, Sheet] = by_id(entries, "machine", faults)
    if not sheets and not faults:
        place = Place(relative_name(folder, root), 1)
        faults.append(
            SourceError(
                place, "the fleet has no machine", "write one data sheet, FIELD: value with its unit", loses=None
            )
        )
    return sheets


def check_sheets(
    sheets: Mapping[str, Sheet], used: Collection[str] = (), fields: Mapping[str, SheetField] | None = None
) -> list[SourceError]:
    """Return every fault of the data sheets: values that cannot be, fields that one machine lacks or nobody knows.

    `used` are the fields that others name; `fields` say unit and range of each, where the course says them.
    """
    known = fields or {}
    unsound = faulty_fields(known)
    sound = {name: field for name, field in known.items() if name not in unsound}
    found = [
        *unsound.values(),
        *(fault for sheet in sheets.values() for fault in check_values(sheet, sound)),
        *check_unused(sheets, known),
        *check_same_fields(sheets, used),
    ]
    told = {(fault.place.file, fault.place.line) for fault in found}
    return found + [fault for fault in check_known(sheets, known) if (fault.place.file, fault.place.line) not in told]


def find_value(sheets: Mapping[str, Sheet], name: str) -> tuple[Sheet, str] | None:
    """Return the sheet and the text of FIELD (of the first machine), N.FIELD or MACHINE.FIELD; None when there is none.

    A number names the machine by its place in the fleet, the last one where the fleet is smaller: a lesson that
    compares two machines so holds for the fleet of any company.
    """
    machine, dot, field = name.rpartition(".")
    if machine.isdigit() or not dot:
        machine = next(iter(list(sheets)[: int(machine or 1)][-1:]), "")
    sheet = sheets.get(machine)
    if sheet is None:
        return None
    text = field_text(sheet, field)
    return None if text is None else (sheet, text)


def field_text(sheet: Sheet, field: str) -> str | None:
    """Return what a sheet says of a field: a value with its unit, a text, or one of its named lines."""
    if field in sheet.values:
        return sheet.values[field]
    if field in sheet.texts:
        return sheet.texts[field]
    named = {"name": sheet.name, "serial": sheet.serial, "supply": sheet.supply, "fuel": sheet.fuel}
    return named.get(field)


def timed_by_first(machine: Machine, sheets: Mapping[str, Sheet]) -> Machine:
    """Return the machine with the times of the first data sheet; as it is where the fleet has none.

    Where it is as it was read last, it is that very one.
    """
    return the_very_one(next((timed_by(machine, sheet) for sheet in sheets.values()), machine))


def timed_by(machine: Machine, sheet: Sheet) -> Machine:
    """Return the machine with the times that a data sheet gives; a field that is no time is left out."""
    found = {field: _seconds(sheet.values.get(field, "")) for field in time_fields(machine)}
    return timed(machine, {field: one for field, one in found.items() if one is not None})


def contexts_of(machine: Machine, sheet: Sheet) -> tuple[str, ...]:
    """Return the contexts that a data sheet names, such as a tank above the pump."""
    found = ((sheet.texts.get(field, ""), one.contexts) for field, one in machine.sheet_contexts.items())
    return tuple(text for text, contexts in found if text in contexts)


def check_contexts(machine: Machine, sheets: Mapping[str, Sheet]) -> list[SourceError]:
    """Return a fault for every text of a sheet that should name a context and names none."""
    return [
        SourceError(
            sheet.place.within(f"texts.{field}"),
            f"{field} of {sheet.id} is {sheet.texts[field]!r}",
            f"write one of {', '.join(one.contexts)}",
        )
        for sheet in sheets.values()
        for field, one in machine.sheet_contexts.items()
        if field in sheet.texts and sheet.texts[field] not in one.contexts
    ]


def check_serials(sheets: Mapping[str, Sheet]) -> list[SourceError]:
    """Return a fault for every serial number that two machines have: the records could not tell them apart."""
    first: dict[str, Sheet] = {}
    faults = []
    for sheet in sheets.values():
        other = first.setdefault(sheet.serial.strip(), sheet)
        if other is not sheet:
            where = other.place.within("serial")
            what = f"{sheet.id} has the serial number {sheet.serial} of {other.id}"
            what_to_do = f"read both plates, the other stands in {where.file}:{where.line}"
            faults.append(SourceError(sheet.place.within("serial"), what, what_to_do))
    return faults


def check_fuels_named(sheets: Mapping[str, Sheet], fuels: Mapping[str, Fuel]) -> Iterator[SourceError]:
    """Yield a fault for every fuel on a sheet that course/fuels.yaml does not name, and for one not permitted."""
    known = {name for fuel in fuels.values() for name in _names_of(fuel)}
    for sheet in sheets.values() if fuels else ():
        permitted = sheet.texts.get(PERMITTED)
        texts = [("fuel", sheet.fuel)] + [(f"texts.{PERMITTED}", permitted)] * (permitted is not None)
        named = {path: _BETWEEN_FUELS.split((text or "").lower().strip()) for path, text in texts}
        strange = [(path, name) for path, names in named.items() for name in names if name and name not in known]
        for path, name in strange:
            near = nearest(name, known)
            what_to_do = f"did you mean {near}?" if near else f"write one of {', '.join(sorted(known))}"
            needs: tuple[SourceKind, str] = ("fuel", name.replace(" ", "-"))
            yield FollowingError(sheet.place.within(path), f"there is no fuel {name}", what_to_do, needs)
        lacking = [name for name in named["fuel"] if permitted and name not in named[f"texts.{PERMITTED}"]]
        if lacking and not strange:
            what = f"{sheet.id} burns {lacking[0]}, and its sheet permits {permitted}"
            yield SourceError(sheet.place.within(f"texts.{PERMITTED}"), what, "compare both with the plate")


def _names_of(fuel: Fuel) -> Iterator[str]:
    """Yield what a fuel is called: its id in words, its name, and what stands in brackets behind that."""
    yield fuel.id.replace("-", " ")
    yield from (part.strip().lower() for part in re.split(r"[()]", fuel.name) if part.strip())


def _seconds(text: str) -> float | None:
    number, spelling = split_quantity(text) or ("", "")
    unit = unit_in(spelling, "time") if number else None
    return None if unit is None else float(number) * unit.factor


def shown_value(text: str) -> str:
    """Return a sheet's value as a reader sees it: 4000 m³/h for 4000 m3/h; other text unchanged."""
    number, unit = split_quantity(text) or ("", "")
    return f"{number} {show_unit(unit)}" if find_unit(unit) else text


def check_same_fields(sheets: Mapping[str, Sheet], used: Collection[str] = ()) -> list[SourceError]:
    """Return a fault for every field that one machine lacks and another has: a lesson must hold on each of them."""
    faults = []
    for kind in ("values", "texts"):
        sides = [
            Side(
                f"the sheet of {sheet.id}",
                sheet.place.within(kind),
                {field: sheet.place.within(f"{kind}.{field}") for field in getattr(sheet, kind)},
            )
            for sheet in sheets.values()
        ]
        faults += check_same_names("sheet", "{side} lacks {name}", sides, used)
    return faults
