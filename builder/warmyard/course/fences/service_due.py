"""When a service is due."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.course.fence import Fence
from warmyard.course.grammar import Node
from warmyard.course.shelf import Shelf
from warmyard.course.values import input_text
from warmyard.errors import SourceError
from warmyard.formula.planning import SERVICE_SYMBOLS


class ServiceDueNode(Node, frozen=True, kw_only=True, tag="wy-service-due", tag_field="fence"):
    """When a service is due; `start` gives the first numbers: interval_h, interval_months, per_day."""

    start: dict[str, str | int | float] = {}
    say: str = ""


def _check(shelf: Shelf, node: ServiceDueNode) -> Iterator[SourceError]:
    for name, value in node.start.items():
        spot = node.place.within(f"start.{name}")
        if name not in SERVICE_SYMBOLS:
            yield SourceError(spot, f"service-due has no symbol {name}", f"it takes {', '.join(SERVICE_SYMBOLS)}")
        try:
            input_text(shelf, value, spot)
        except SourceError as fault:
            yield fault


FENCE = Fence(
    node=ServiceDueNode,
    check=_check,
    filled_in=True,
)
