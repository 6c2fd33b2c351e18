"""A worked example on a page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.worked import WorkedNode
from warmyard.course.values import quantities
from warmyard.formula.everyday import everyday_of, said_first
from warmyard.formula.printed import worked_lines
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.web.blocks import Writer
from warmyard.web.fill import fill


def write(writer: Writer, node: WorkedNode) -> Markup:
    """Return a worked example, every step with numbers and units put in."""
    formula = writer.workspace.register.formulas[node.formula]
    inputs = quantities(writer.workspace.shelf, formula, node.inputs, node.place)
    lines = worked_lines(formula, inputs)
    # Where one factor leads from everyday units to the result, the words say it, and SI is a detour.
    detour = writer.edition == "staff" and everyday_of(formula) is not None
    steps = [line for line, in_si in lines if not (in_si and detour)]
    through_si = [line for line, in_si in lines if in_si and detour]
    mark = writer.notes.mark(formula.source, formula.known, f"work {formula.id}")
    given = [
        (symbol, plain_number(inputs[symbol.symbol]), show_unit(symbol.unit))
        for symbol in formula.needs
        if symbol.symbol in inputs
    ]
    say = writer.rich(node.say, node.place)
    words = said_first(formula, writer.workspace.fuels) if writer.edition == "staff" else ""
    return fill(
        "worked",
        formula=formula,
        words=words,
        steps=steps,
        through_si=through_si,
        given=given,
        say=say,
        mark=mark,
    )
