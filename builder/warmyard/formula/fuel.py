"""Fuels by name: the values that a fuel puts into a formula's symbols."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import msgspec

from warmyard.errors import InputError, Place, SourceError
from warmyard.formula.model import Formula, Known
from warmyard.formula.quantity import read_quantity
from warmyard.sources import decode_list, read_document


class FuelValue(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One value of a fuel, as a person would type it, and where it comes from."""

    symbol: str
    value: str
    source: str
    known: Known


class Fuel(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A fuel of course/fuels.yaml."""

    id: str
    name: str
    values: tuple[FuelValue, ...]
    place: Place = Place()


def load_fuels(path: Path, root: Path) -> tuple[Mapping[str, Fuel], list[SourceError]]:
    """Return the fuels by id, and every fault of their form."""
    faults: list[SourceError] = []
    try:
        document = read_document(path, root)
    except SourceError as fault:
        return {}, [fault]
    fuels: dict[str, Fuel] = {}
    for fuel in decode_list(document, Fuel, faults, "fuels"):
        if fuel.id in fuels:
            faults.append(SourceError(fuel.place, f"the fuel {fuel.id} stands twice", "keep one of them"))
        fuels[fuel.id] = fuel
    return fuels, faults


def fill_from_fuel(fuels: Mapping[str, Fuel], id: str, formula: Formula) -> dict[str, str]:
    """Return symbol -> text of everything the fuel knows of the formula; raise InputError when that is nothing."""
    if id not in fuels:
        raise InputError(f"there is no fuel {id[:40]!r}; the fuels are {', '.join(fuels)}")
    symbols = {symbol.symbol for symbol in formula.needs}
    found = {one.symbol: one.value for one in fuels[id].values if one.symbol in symbols}
    if not found:
        raise InputError(f"{formula.id} takes nothing from a fuel; leave fuel={id} out")
    return found


def check_fuels(fuels: Mapping[str, Fuel], formulas: Mapping[str, Formula]) -> list[SourceError]:
    """Return a fault for every value that no formula takes or that does not fit the symbol's unit and range."""
    faults = []
    for fuel in fuels.values():
        for at, one in enumerate(fuel.values):
            place = fuel.place.within(f"values.{at}")
            takers = [
                symbol for formula in formulas.values() for symbol in formula.needs if symbol.symbol == one.symbol
            ]
            if not takers:
                faults.append(SourceError(place, f"no formula has the symbol {one.symbol}", "correct the symbol"))
            for symbol in takers:
                try:
                    read_quantity(one.value, symbol.unit)
                except InputError as problem:
                    faults.append(SourceError(place, f"{one.symbol}: {problem}".replace(";", ","), "correct the value"))
                    break
    return faults
