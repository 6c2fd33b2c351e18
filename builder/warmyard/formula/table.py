"""What the trade looks up: small tables with unit, source, and how each figure is known."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import msgspec

from warmyard.errors import Place, SourceError
from warmyard.formula.model import Known
from warmyard.formula.units import find_unit
from warmyard.sources import decode_list, read_document


class TableRow(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One line of a table; `known` stands here when it differs from the table's own."""

    key: str
    value: float | str
    known: Known | None = None


class LookUpTable(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A table of course/tables.yaml."""

    id: str
    title: str
    key: str
    """What the keys are, in words."""
    unit: str
    source: str
    known: Known
    rows: tuple[TableRow, ...]
    note: str = ""
    place: Place = Place()


def load_tables(path: Path, root: Path) -> tuple[Mapping[str, LookUpTable], list[SourceError]]:
    """Return the tables by id, and every fault: an id or key twice, a unit that is not in the table of units."""
    faults: list[SourceError] = []
    try:
        document = read_document(path, root)
    except SourceError as fault:
        return {}, [fault]
    tables: dict[str, LookUpTable] = {}
    for table in decode_list(document, LookUpTable, faults, "tables"):
        if table.id in tables:
            place, first = table.place.within("id"), tables[table.id].place
            what_to_do = f"rename one; the other stands in {first.file}:{first.line}"
            # One of the two was meant to be another, and nobody knows which.
            faults.append(SourceError(place, f"the table {table.id} stands twice", what_to_do, loses=None))
            continue
        faults += _keys_twice(table)
        if table.unit and find_unit(table.unit) is None:
            what = f"there is no unit {table.unit}"
            faults.append(SourceError(table.place.within("unit"), what, "use one of the table of units"))
        tables[table.id] = table
    return tables, faults


def _keys_twice(table: LookUpTable) -> list[SourceError]:
    """Return a fault for each line whose key stands in a line before it."""
    keys = [row.key for row in table.rows]
    return [
        SourceError(
            table.place.within(f"rows.{at}"),
            f"the key {key} stands twice in the table {table.id}",
            f"rename one; the other stands in line {table.place.within(f'rows.{keys.index(key)}').line}",
            loses=table.id,
        )
        for at, key in enumerate(keys)
        if key in keys[:at]
    ]
