"""Whether the values of a data sheet can be: conditions in the formula grammar, proved by their units first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches

from warmyard.course.model import Sheet, SheetLaw
from warmyard.errors import InputError, SourceError
from warmyard.formula.expression import parse_condition, truth_of
from warmyard.formula.proof import prove_condition
from warmyard.formula.quantity import split_quantity
from warmyard.formula.units import find_unit, to_si

ALIKE = 0.85
"""From here on a name that no sheet has is taken for a misspelt one; other fields a company may well not have."""


def check_laws(sheets: Mapping[str, Sheet], laws: Mapping[str, SheetLaw]) -> list[SourceError]:
    """Return a fault for a law that is none, and for each sheet that breaks one; what a sheet lacks breaks none."""
    return [fault for law in laws.values() for fault in _check_law(law, sheets)]


def _check_law(law: SheetLaw, sheets: Mapping[str, Sheet]) -> Iterator[SourceError]:
    try:
        names = sorted(parse_condition(law.holds).names, key=law.holds.index)
    except InputError as problem:
        yield SourceError(law.place.within("holds"), str(problem).replace(";", ","), "correct the condition")
        return
    written = {field for sheet in sheets.values() for field in sheet.values}
    misspelt = [field for name in names if (field := name.replace("_", "-")) not in written]
    for field in misspelt:
        near = get_close_matches(field, written, 1, ALIKE)
        if near:
            what = f"{law.id} asks for {field}, which no sheet has"
            yield SourceError(law.place.within("holds"), what, f"did you mean {near[0].replace('-', '_')}?")
    for sheet in sheets.values():
        values = {name: _value(sheet, name.replace("_", "-")) for name in names}
        known = {name: value for name, value in values.items() if value is not None}
        if len(known) < len(names):
            continue
        try:
            prove_condition(law.holds, {name: unit for name, (_, unit) in known.items()})
            holds = truth_of(parse_condition(law.holds), {name: to_si(*value) for name, value in known.items()})
        except InputError as problem:
            what = f"{law.id} cannot be asked of {sheet.id}: {problem}".replace(";", ",")
            yield SourceError(sheet.place.within("values"), what, f"compare the units with {law.place.file}")
            continue
        if not holds:
            fields = [name.replace("_", "-") for name in names]
            shown = ", ".join(f"{field} {sheet.values[field]}" for field in fields)
            place = sheet.place.within(f"values.{fields[0]}")
            why, _, what_to_do = law.say.partition("; ")
            # What is computed from such values is no fault of its own.
            lost = " ".join(fields)
            yield SourceError(place, f"{shown}: {why}", what_to_do or "compare it with the plate", loses=lost)


def _value(sheet: Sheet, field: str) -> tuple[float, str] | None:
    number, unit = split_quantity(sheet.values.get(field, "")) or ("", "")
    return (float(number), unit or "1") if number and find_unit(unit or "1") else None
