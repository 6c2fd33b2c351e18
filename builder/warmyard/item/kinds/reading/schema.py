"""A reading item as its source states it."""

from __future__ import annotations

from warmyard.item.model import Answer, Draw, Item, ItemSlip


class Reading(Item, frozen=True, kw_only=True, tag="reading"):
    """Read an instrument drawn from a computed value."""

    instrument: str
    """Id in course/pictures/instruments.yaml: range, divisions, unit, look."""
    draw: dict[str, Draw]
    value: str
    """Relation in the drawn symbols, in the instrument's unit."""
    line: str = ""
    """The line of a strip in which `value` stands."""
    lines: dict[str, str] = {}
    """What else it shows, as relations in the drawn symbols: other lines of a strip, or where the `switch` stands."""
    asked: str | None = None
    """Relation of the answer where it is not what the instrument shows; it may name `reading`."""
    answer: Answer
    slips: tuple[ItemSlip, ...] = ()
