"""A procedure on a page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.procedure import ProcedureNode
from warmyard.web.blocks import Writer
from warmyard.web.fill import fill


def write(writer: Writer, node: ProcedureNode) -> Markup:
    """Return the procedure that a fence names."""
    return write_procedure(writer, node.procedure)


def write_procedure(writer: Writer, name: str) -> Markup:
    """Return a procedure in its reference order, each step with its reasons; in a step of a lesson these are folded."""
    procedure = writer.workspace.procedures[name]
    text = {step.id: step.do for step in procedure.steps}
    fatal = {fail.must_precede: fail.because for fail in procedure.immediate_fail}
    steps = [
        {
            "do": writer.rich(text[step], procedure.place),
            "why": [before.because for before in procedure.before if before.first == step and before.because],
            "fatal": fatal.get(step, ""),
        }
        for step in procedure.reference
    ]
    caution = writer.rich(procedure.caution, procedure.place)
    folded = writer.stepped and any(step["why"] or step["fatal"] for step in steps)
    return fill("procedure", procedure=procedure, steps=steps, caution=caution, edition=writer.edition, folded=folded)
