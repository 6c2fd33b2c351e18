"""The fields to find on one's own machine."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from warmyard.course.fences.your_machine import FieldAsked, YourMachineNode
from warmyard.course.fleet import find_value, shown_value
from warmyard.errors import Place
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import PLAIN, show_unit
from warmyard.web.assets import scripts_of
from warmyard.web.blocks import Writer, unbroken
from warmyard.web.fill import fill
from warmyard.web.fleet import field_name, load_fleet_data

SCRIPTS = ("photographs.js", "find.js")


def write(writer: Writer, node: YourMachineNode) -> Markup:
    """Return the fields to find on the machine, each by its name, beside the value of the demo fleet."""
    rows = [_row(writer, asked, node.place.within(f"values.{at}")) for at, asked in enumerate(node.values)]
    load_fleet_data(writer)
    writer.scripts |= scripts_of(SCRIPTS)
    return fill("your-machine", rows=rows, sheets=writer.workspace.sheets, place=node.place.line)


def _row(writer: Writer, asked: FieldAsked, place: Place) -> dict[str, Any]:
    """Return what one field is called, where it is found, and in which unit and range it is given."""
    workspace = writer.workspace
    found = find_value(workspace.sheets, asked.field)
    sheet, value = found if found else (None, "")
    field = asked.field.rpartition(".")[2]
    known = workspace.sheet_fields.get(field)
    unit = known.unit if known and sheet and field in sheet.values else ""
    return {
        "field": field,
        "name": field_name(workspace.words, field, workspace.sheet_fields),
        "say": writer.rich(asked.say, place),
        "unit": unit,
        "shown_unit": show_unit(unit) if unit and unit != PLAIN else "",
        "low": plain_number(known.low) if known else "",
        "high": plain_number(known.high) if known else "",
        "machine": sheet.name if sheet else "",
        "value": unbroken(shown_value(value)),
    }
