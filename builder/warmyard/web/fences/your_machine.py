"""The fields to find on one's own machine."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.your_machine import YourMachineNode
from warmyard.course.fleet import find_value, shown_value
from warmyard.web.blocks import Writer, unbroken
from warmyard.web.fill import fill


def write(writer: Writer, node: YourMachineNode) -> Markup:
    """Return the fields to find on the machine, beside the value of the demo fleet."""
    rows = []
    for at, asked in enumerate(node.values):
        found = find_value(writer.workspace.sheets, asked.field)
        sheet, value = found if found else (None, "")
        rows.append(
            {
                "field": asked.field,
                "say": writer.rich(asked.say, node.place.within(f"values.{at}")),
                "machine": sheet.name if sheet else "",
                "value": unbroken(shown_value(value)),
            }
        )
    return fill("your-machine", rows=rows)
