"""The start sequence, or a chart of a formula."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.course.fence import Fence, Named
from warmyard.course.grammar import Node

SEQUENCE = "sequence"
"""The chart that is drawn from the machine model."""


class ChartNode(Node, frozen=True, kw_only=True, tag="wy-chart", tag_field="fence"):
    """The start sequence drawn from the machine model (one failure with `mode`), or a chart of course/charts.yaml."""

    chart: str
    mode: str | None = None


def _named(node: ChartNode) -> Iterator[Named]:
    if node.chart != SEQUENCE:
        yield Named("chart", "chart", node.chart)
    if node.mode not in (None, "none"):
        yield Named("mode", "failure mode", str(node.mode))


FENCE = Fence(
    node=ChartNode,
    of_machine=True,
    names=_named,
)
