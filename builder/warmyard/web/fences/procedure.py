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
    """Return a procedure in its reference order, each step with its reasons; in a step of a lesson these are folded.

    What may kill stands beside its step in either case.
    """
    procedure = writer.workspace.procedures[name]
    text = {step.id: step.do for step in procedure.steps}
    by_weight = sorted(procedure.immediate_fail, key=lambda fail: fail.may_kill)
    fatal = {fail.must_precede: fail for fail in by_weight}
    steps = [
        {
            "do": writer.rich(text[step], procedure.place),
            "why": [before.because for before in procedure.before if before.first == step and before.because],
            "fatal": fatal[step].because if step in fatal else "",
            "may_kill": step in fatal and fatal[step].may_kill,
        }
        for step in procedure.reference
    ]
    caution = writer.rich(procedure.caution, procedure.place)
    folded = writer.stepped and any((step["why"] or step["fatal"]) and not step["may_kill"] for step in steps)
    return fill("procedure", procedure=procedure, steps=steps, caution=caution, edition=writer.edition, folded=folded)
