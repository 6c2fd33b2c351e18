"""A telephone script on a page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.script import ScriptNode
from warmyard.web.blocks import Writer
from warmyard.web.calls import write_call


def write(writer: Writer, node: ScriptNode) -> Markup:
    """Return the script of the symptom that a fence names."""
    return write_script(writer, node.symptom)


def write_script(writer: Writer, symptom: str) -> Markup:
    """Return what to look at before calling, and the words to read out."""
    writer.calls += 1
    folded = writer.edition == "customer" or writer.page == "telephone"
    return write_call(
        writer.workspace.machine,
        symptom,
        first=writer.calls == 1,
        folded=folded,
        for_customer=writer.edition == "customer",
        rich=writer.rich,
    )
