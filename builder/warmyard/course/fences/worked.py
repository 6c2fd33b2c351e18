"""A worked example."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.course.fence import Example, Fence, Named
from warmyard.course.grammar import Node
from warmyard.course.shelf import Shelf
from warmyard.course.values import computed
from warmyard.errors import SourceError


class WorkedNode(Node, frozen=True, kw_only=True, tag="wy-worked", tag_field="fence"):
    """A worked example: every step with numbers and units put in.

    An input is "10 bar", "sheet FIELD", "rule ID", "table ID LINE", or "result NAME" of an example before it.
    """

    formula: str
    called: str = ""
    """Name under which later lines take the result."""
    inputs: dict[str, str | int | float] = {}
    say: str = ""


def _check(shelf: Shelf, node: WorkedNode) -> Iterator[SourceError]:
    formula = shelf.register.formulas.get(node.formula)
    if formula is None:
        return
    try:
        computed(shelf, formula, node.inputs, node.place.within("inputs"))
    except SourceError as fault:
        yield fault


FENCE = Fence(
    node=WorkedNode,
    names=lambda node: [Named("formula", "formula", node.formula)],
    check=_check,
    example=lambda node: Example(node.called, node.formula, node.inputs),
)
