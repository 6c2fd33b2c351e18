"""A calculator on a page."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from warmyard.course.fences.calculator import CalculatorNode
from warmyard.course.values import input_text
from warmyard.formula.everyday import said_first
from warmyard.formula.model import Symbol
from warmyard.formula.printed import formula_mathml
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.web.blocks import Writer
from warmyard.web.fill import fill
from warmyard.web.fleet import field_taken


def write(writer: Writer, node: CalculatorNode) -> Markup:
    """Return a formula to fill in, with first numbers from the sheet or the rules."""
    formula = writer.workspace.register.formulas[node.formula]
    if formula.id not in writer.formulas:
        writer.formulas.append(formula.id)
    starts = {name: input_text(writer.workspace.shelf, value, node.place) for name, value in node.start.items()}
    fields = {name: field_taken(value) for name, value in node.start.items()}
    writer.sheet_boxes += sum(map(bool, fields.values()))
    rows = [{**_row(writer, symbol, starts), "field": fields.get(symbol.symbol)} for symbol in formula.needs]
    mark = writer.notes.mark(formula.source, formula.known, f"work {formula.id}")
    return fill(
        "calculator",
        formula=formula,
        words=said_first(formula, writer.workspace.fuels) if writer.edition == "staff" else "",
        mathml=formula_mathml(formula),
        rows=rows,
        unit=show_unit(formula.gives.unit),
        say=writer.rich(node.say, node.place),
        mark=mark,
        key=f"{formula.id}-{len(writer.formulas)}-{node.place.line}",
    )


def _row(writer: Writer, symbol: Symbol, starts: dict[str, str]) -> dict[str, Any]:
    start = _without_own_unit(starts.get(symbol.symbol, ""), symbol.unit)
    if not start and symbol.default is not None:
        start = plain_number(symbol.default)
    mark = writer.notes.mark(symbol.source, None) if symbol.source else Markup("")
    return {"symbol": symbol, "unit": show_unit(symbol.unit), "start": start, "mark": mark}


def _without_own_unit(typed: str, unit: str) -> str:
    """Return what stands in a box: the unit beside it is not said again, another unit is shown as readers see it."""
    number, _, own = typed.partition(" ")
    return number if own in ("", unit, show_unit(unit)) else f"{number} {show_unit(own)}"
