"""The machines of the company: one data sheet each, every value with its unit."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from pathlib import Path

from warmyard.course.catalogue import Side, by_id, check_same_names, one_per_file
from warmyard.course.model import Sheet
from warmyard.errors import Place, SourceError
from warmyard.formula.quantity import split_quantity
from warmyard.formula.units import find_unit, show_unit
from warmyard.sources import relative_name


def load_sheets(folder: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Sheet]:
    """Return the data sheets by machine, in the order of file names; none at all is a fault."""
    sheets: Mapping[str, Sheet] = by_id(one_per_file(folder, root, Sheet, faults), "machine", faults)
    if not sheets and not faults:
        place = Place(relative_name(folder, root), 1)
        faults.append(
            SourceError(place, "the fleet has no machine", "write one data sheet, FIELD: value with its unit")
        )
    return sheets


def check_sheets(sheets: Mapping[str, Sheet], used: Collection[str] = ()) -> list[SourceError]:
    """Return every fault of the data sheets: values without a known unit, fields that one machine lacks.

    `used` are the fields that others name.
    """
    return [*(fault for sheet in sheets.values() for fault in check_values(sheet)), *check_same_fields(sheets, used)]


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


def shown_value(text: str) -> str:
    """Return a sheet's value as a reader sees it: 4000 m³/h for 4000 m3/h; other text unchanged."""
    number, unit = split_quantity(text) or ("", "")
    return f"{number} {show_unit(unit)}" if find_unit(unit) else text


def check_values(sheet: Sheet) -> list[SourceError]:
    """Return a fault for every value of a sheet that is no number with a unit of the table."""
    return [
        SourceError(
            sheet.place.within(f"values.{field}"),
            f"{field} of {sheet.id} is {text!r}, no number with a known unit",
            'write it as "45 kW", or put words into texts',
            loses=field,
        )
        for field, text in sheet.values.items()
        if not _is_value(text)
    ]


def _is_value(text: str) -> bool:
    split = split_quantity(text)
    return split is not None and math.isfinite(float(split[0])) and find_unit(split[1] or "1") is not None


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
