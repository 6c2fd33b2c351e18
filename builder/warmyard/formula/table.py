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
        keys = [row.key for row in table.rows]
        if table.id in tables or len(set(keys)) < len(keys):
            faults.append(SourceError(table.place, f"the table {table.id} or one of its keys stands twice", "keep one"))
        if table.unit and find_unit(table.unit) is None:
            what = f"there is no unit {table.unit}"
            faults.append(SourceError(table.place.within("unit"), what, "use one of the table of units"))
        tables[table.id] = table
    return tables, faults
