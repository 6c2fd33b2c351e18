"""The boxes for the next service on a page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.service_due import ServiceDueNode
from warmyard.course.values import input_text
from warmyard.formula.planning import SERVICE_SYMBOLS, form_of
from warmyard.page.formula_script import units_script
from warmyard.page.javascript import runtime_text
from warmyard.web.blocks import Writer
from warmyard.web.fill import FOLDER, fill
from warmyard.web.fleet import field_taken
from warmyard.words import say

PLANNING = f"{FOLDER}/planning.js"


def write(writer: Writer, node: ServiceDueNode) -> Markup:
    """Return the boxes from which the page works out when a service is due."""
    writer.scripts[PLANNING] = (units_script() + runtime_text("planning.js")).encode()
    starts = {name: input_text(writer.workspace.shelf, value, node.place) for name, value in node.start.items()}
    rows = [
        {
            "name": name,
            "means": say({}, f"service.{name}"),
            "form": form_of(name),
            "start": starts.get(name, ""),
            "field": field_taken(node.start.get(name, "")),
        }
        for name in SERVICE_SYMBOLS
    ]
    writer.sheet_boxes += sum(bool(row["field"]) for row in rows)
    said = writer.rich(node.say, node.place)
    return fill("service-due", rows=rows, say=said, key=f"service-{node.place.line}")
