"""The record of ordering items."""

from __future__ import annotations

from warmyard.item.kind import Kind
from warmyard.item.kinds.ordering.check import check_ordering
from warmyard.item.kinds.ordering.draw import ordering_variant
from warmyard.item.kinds.ordering.marking import ORDER
from warmyard.item.kinds.ordering.schema import Ordering
from warmyard.item.printing import options_html

KIND = Kind(
    struct=Ordering,
    marking=ORDER,
    shows=("order",),
    rank=50,
    variants=6,
    draw=ordering_variant,
    check=check_ordering,
    print=lambda question, words: options_html(question, "ol"),
    rests_on=lambda item: ("procedure",),
)
