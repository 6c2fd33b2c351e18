"""Values to find on one's own machine."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from warmyard.course.fence import Fence
from warmyard.course.fleet import find_value
from warmyard.course.grammar import Node
from warmyard.course.shelf import Shelf
from warmyard.course.values import needed_by
from warmyard.errors import FollowingError, SourceError


class FieldAsked(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A field of the machine's sheet, and where the reader finds it."""

    field: str
    say: str


class YourMachineNode(Node, frozen=True, kw_only=True, tag="wy-your-machine", tag_field="fence"):
    """Find the value on your machine."""

    values: tuple[FieldAsked, ...]


def _check(shelf: Shelf, node: YourMachineNode) -> Iterator[SourceError]:
    for at, asked in enumerate(node.values):
        if find_value(shelf.sheets, asked.field) is None:
            what_to_do = "add it to the sheets in site_config/fleet/"
            spot = node.place.within(f"values.{at}")
            what = f"no sheet has the field {asked.field}"
            yield FollowingError(spot, what, what_to_do, needed_by("sheet", asked.field))


FENCE = Fence(
    node=YourMachineNode,
    check=_check,
    things=lambda node: len(node.values),
    filled_in=True,
)
