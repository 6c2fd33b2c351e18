"""The values of a data sheet, each held against the unit and the range that its field has."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

from warmyard.course.model import Sheet, SheetField
from warmyard.errors import FollowingError, InputError, SourceError
from warmyard.fields import nearest
from warmyard.formula.quantity import plain_number, read_quantity, split_quantity
from warmyard.formula.units import PLAIN, find_unit
from warmyard.sources import Document

SAID_IN = "course/sheet_laws.yaml"
EXAMPLE = SheetField(unit="kW", low=0, high=0)
"""Stands for a field that nobody described, where a fault shows how a value is written."""


def faulty_fields(fields: Mapping[str, SheetField]) -> Mapping[str, SourceError]:
    """Return field -> its fault, for each whose unit is none or whose range holds nothing."""
    found = {}
    for name, field in fields.items():
        if find_unit(field.unit) is None:
            what, what_to_do = f"in {field.unit!r}, which is no unit", "use one of the table of units, 1 for none"
            found[name] = SourceError(field.place.within("unit"), f"the field {name} is {what}", what_to_do)
        elif field.low >= field.high:
            what = f"the field {name} runs from {field.low:g} to {field.high:g}"
            what_to_do = "the lower end of a range is the smaller, swap the two"
            found[name] = SourceError(field.place.within("low"), what, what_to_do)
    return found


def check_values(sheet: Sheet, fields: Mapping[str, SheetField] | None = None) -> list[SourceError]:
    """Return a fault for every value of a sheet that is no number with a unit, or not one that its field can have."""
    faults = []
    for name, text in sheet.values.items():
        field = (fields or {}).get(name)
        complaint = _no_value(text, field or EXAMPLE) or (_cannot_be(name, text, field) if field else None)
        if complaint:
            what, what_to_do = complaint
            place = sheet.place.within(f"values.{name}")
            faults.append(SourceError(place, f"{name} of {sheet.id} is {what}", what_to_do, loses=name))
    return faults


def _no_value(text: str, field: SheetField) -> tuple[str, str] | None:
    number, unit = split_quantity(text) or ("", "")
    if number and math.isfinite(float(number)) and find_unit(unit or PLAIN) is not None:
        return None
    example = _with_unit(number or "45", field)
    return f"{text!r}, no number with a known unit", f'write it as "{example}", or put words into texts'


def _with_unit(number: str, field: SheetField) -> str:
    return number if field.unit == PLAIN else f"{number} {field.unit}"


def _cannot_be(name: str, text: str, field: SheetField) -> tuple[str, str] | None:
    """Return what is wrong with the unit or the size of a value, and what to do; None where nothing is."""
    number, unit = split_quantity(text) or ("", "")
    if not unit and field.unit != PLAIN:
        return f"{text}, without its unit", f"write {name}: {_with_unit(number, field)}"
    try:
        value = read_quantity(text, field.unit)
    except InputError:
        wanted = "a plain number" if field.unit == PLAIN else f"given in {field.unit}"
        return f"{text}, and this field is {wanted}", "compare number and unit with the plate"
    if field.low <= value <= field.high:
        return None
    also = "" if unit in ("", field.unit) else f", that is {_with_unit(plain_number(value), field)}"
    ends = f"{plain_number(field.low)} to {_with_unit(plain_number(field.high), field)}"
    return f"{text}{also}, which cannot be", f"compare it with the plate: {ends} can be, says {SAID_IN}"


def check_known(sheets: Mapping[str, Sheet], fields: Mapping[str, SheetField]) -> Iterator[SourceError]:
    """Yield one fault for each field that sheets have and nobody described; where nobody described any, none."""
    first = {name: sheet for sheet in reversed(list(sheets.values())) for name in sheet.values}
    for name, sheet in first.items() if fields else ():
        if name not in fields:
            near = nearest(name, [one for one in fields if one not in sheet.values])
            what_to_do = f"did you mean {near}? or " if near else ""
            what_to_do += f"add it to fields in {SAID_IN}, with unit, low and high"
            what = f"nobody says in which unit {name} is, and how large it may be"
            yield FollowingError(sheet.place.within(f"values.{name}"), what, what_to_do, ("sheet", name))


def check_unused(sheets: Mapping[str, Sheet], fields: Mapping[str, SheetField]) -> Iterator[SourceError]:
    """Yield a fault for each described field that no sheet has, once, whatever the sheets call it instead."""
    had = {name for sheet in sheets.values() for name in sheet.values}
    for name, field in fields.items() if sheets else ():
        if name not in had:
            near = nearest(name, had - fields.keys())
            what_to_do = f"did you mean {near}?" if near else "take it out, or add it to the sheets"
            yield FollowingError(field.place, f"no sheet has the field {name}", what_to_do, ("sheet", name), loses=near)


def with_units(fields: Mapping[str, SheetField], document: Document, faults: list[SourceError]) -> Document:
    """Return a sheet whose values are all text, with a fault for each that was written as a bare number."""
    values = document.value.get("values") if isinstance(document.value, dict) else None
    if not isinstance(values, dict):
        return document
    bare = {name: value for name, value in values.items() if type(value) in (int, float)}
    for name, value in bare.items():
        field = fields.get(name, EXAMPLE)
        right = f'"{value}", in quotes' if field.unit == PLAIN else _with_unit(str(value), field)
        what = f"{name} is the bare number {value}, and a value is text with its unit"
        what_to_do = f"write {name}: {right}" + ("" if name in fields else ", with its own unit")
        faults.append(SourceError(document.place(f"values.{name}"), what, what_to_do, loses=name))
    mended = {**values, **{name: str(value) for name, value in bare.items()}}
    return replace(document, value={**document.value, "values": mended}) if bare else document
