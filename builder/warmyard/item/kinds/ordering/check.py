"""Whether an ordering item is sound."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.errors import SourceError
from warmyard.item.faults import FEWEST_OPTIONS, fault_of, unknown
from warmyard.item.kinds.ordering.schema import Ordering
from warmyard.item.surroundings import Surroundings


def check_ordering(item: Ordering, around: Surroundings) -> Iterator[SourceError]:
    """Yield a procedure or a step that is not there, and too few steps to order."""
    yield from unknown(item, "procedure", item.procedure, around.orders, "procedure")
    facts = around.orders.get(item.procedure)
    if facts is None:
        return
    for at, step in enumerate(item.steps):
        yield from unknown(item, f"steps.{at}", step, facts.steps, "step")
    if len(set(item.steps)) < len(item.steps) or 0 < len(item.steps) < FEWEST_OPTIONS:
        yield fault_of(item, "steps", "too few steps, or one twice", f"name {FEWEST_OPTIONS} or more, each once")
