"""A formula to fill in."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.course.fence import Fence, Named
from warmyard.course.grammar import Node
from warmyard.course.shelf import Shelf
from warmyard.course.values import quantities
from warmyard.errors import SourceError


class CalculatorNode(Node, frozen=True, kw_only=True, tag="wy-calculator", tag_field="fence"):
    """A formula to fill in; `start` gives the first numbers, as in a worked example."""

    formula: str
    start: dict[str, str | int | float] = {}
    say: str = ""


def _check(shelf: Shelf, node: CalculatorNode) -> Iterator[SourceError]:
    formula = shelf.register.formulas.get(node.formula)
    if formula is None:
        return
    try:
        quantities(shelf, formula, node.start, node.place.within("start"))
    except SourceError as fault:
        yield fault


FENCE = Fence(
    node=CalculatorNode,
    names=lambda node: [Named("formula", "formula", node.formula)],
    check=_check,
    filled_in=True,
)
