"""Whether stated values can be: conditions in the formula grammar over a sheet's fields or a country's rules."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from warmyard.course.model import Law, Rule, Sheet, SheetField
from warmyard.course.rules import rule_text
from warmyard.errors import InputError, Place, SourceError
from warmyard.fields import nearest
from warmyard.formula.expression import parse_condition, truth_of
from warmyard.formula.proof import prove_condition
from warmyard.formula.quantity import split_quantity
from warmyard.formula.units import find_unit, to_si

ALIKE = 0.85
"""From here on a name that nobody states is taken for a misspelt one; other fields a company may well not have."""


@dataclass(frozen=True, slots=True)
class Value:
    """A number as it is stated, and where."""

    text: str
    number: float
    unit: str
    place: Place


@dataclass(frozen=True, slots=True)
class Stated:
    """The values of one sheet, or the rules of one country, by name."""

    id: str
    values: Mapping[str, Value]
    compare_with: str
    """With what somebody compares a value that cannot be."""


def check_sheet_laws(
    sheets: Mapping[str, Sheet],
    laws: Mapping[str, Law],
    fields: Mapping[str, SheetField] | None = None,
    faulty: Collection[Place] = (),
) -> list[SourceError]:
    """Return a fault for a law of sheets that is none, and for each sheet that breaks one; what it lacks breaks none.

    `fields` say in which unit each field is given, as far as that is told; what stands at a faulty place is left out.
    """
    stated = [
        Stated(
            sheet.id,
            {
                field: value
                for field in sheet.values
                if (value := _of_sheet(sheet, field)) and value.place not in faulty
            },
            "the plate",
        )
        for sheet in sheets.values()
    ]
    names = {field for sheet in sheets.values() for field in sheet.values}
    units = {name: field.unit for name, field in (fields or {}).items()}
    return [fault for law in laws.values() for fault in _check_law(law, stated, names | units.keys(), units)]


def check_rule_laws(
    countries: Mapping[str, Mapping[str, Rule]], laws: Mapping[str, Law], faulty: Collection[Place] = ()
) -> list[SourceError]:
    """Return a fault for a law of rules that is none, and for each country whose rules break one."""
    stated = [
        Stated(
            country,
            {
                rule.id: Value(rule_text(rule), float(rule.value), rule.unit or "1", place)
                for rule in rules.values()
                if not isinstance(rule.value, str)
                and find_unit(rule.unit or "1")
                and (place := rule.place.within("value")) not in faulty
                and rule.place.within("unit") not in faulty
            },
            "its source",
        )
        for country, rules in countries.items()
    ]
    names = {name for rules in countries.values() for name in rules}
    return [fault for law in laws.values() for fault in _check_law(law, stated, names, {})]


def _check_law(law: Law, stated: list[Stated], known: set[str], units: Mapping[str, str]) -> Iterator[SourceError]:
    try:
        symbols = sorted(parse_condition(law.holds).names, key=law.holds.index)
        names = [name.replace("_", "-") for name in symbols]
        if all(name in units for name in names):
            prove_condition(law.holds, dict(zip(symbols, (units[name] for name in names), strict=True)))
    except InputError as problem:
        yield SourceError(law.place.within("holds"), str(problem).replace(";", ","), "correct the condition")
        return
    for name in (name for name in names if name not in known):
        if near := nearest(name, known, ALIKE):
            what = f"{law.id} asks for {name}, which nobody states"
            yield SourceError(law.place.within("holds"), what, f"did you mean {near.replace('-', '_')}?")
    for one in stated:
        values = {symbol: one.values[name] for symbol, name in zip(symbols, names, strict=True) if name in one.values}
        if len(values) == len(names):
            yield from _check_stated(law, one, values)


def _check_stated(law: Law, one: Stated, values: Mapping[str, Value]) -> Iterator[SourceError]:
    names = [symbol.replace("_", "-") for symbol in values]
    first = next(iter(values.values())).place
    try:
        prove_condition(law.holds, {symbol: value.unit for symbol, value in values.items()})
        numbers = {symbol: to_si(value.number, value.unit) for symbol, value in values.items()}
        if truth_of(parse_condition(law.holds), numbers):
            return
    except InputError as problem:
        what = f"{law.id} cannot be asked of {one.id}: {problem}".replace(";", ",")
        yield SourceError(first, what, f"compare the units of {' and '.join(names)}", loses=" ".join(names))
        return
    shown = ", ".join(f"{name} {value.text}" for name, value in zip(names, values.values(), strict=True))
    why, _, what_to_do = law.say.partition("; ")
    # What is computed from such values is no fault of its own.
    lost = " ".join(names)
    yield SourceError(first, f"{shown}: {why}", what_to_do or f"compare it with {one.compare_with}", loses=lost)


def _of_sheet(sheet: Sheet, field: str) -> Value | None:
    text = sheet.values[field]
    number, unit = split_quantity(text) or ("", "")
    if not number or not find_unit(unit or "1"):
        return None
    return Value(text, float(number), unit or "1", sheet.place.within(f"values.{field}"))
