"""The record of reading items; a reading is marked as the number that it is."""

from __future__ import annotations

from warmyard.item.drawn_numbers import check_drawn, lost_slips
from warmyard.item.kind import Kind
from warmyard.item.kinds.numeric.marking import NUMBER
from warmyard.item.kinds.reading.draw import reading_variant, try_reading
from warmyard.item.kinds.reading.schema import Reading
from warmyard.item.printing import line_html, options_html

KIND = Kind(
    struct=Reading,
    marking=NUMBER,
    shows=("picture", "sum"),
    rank=40,
    variants=20,
    draw=reading_variant,
    check=lambda item, around: check_drawn(item, item.draw, item.answer, item.slips),
    print=lambda question, words: line_html(question, words) + options_html(question),
    rests_on=lambda item: ("instrument",),
    draws=lambda item: item.draw,
    drawn_when_faulty=True,
    try_numbers=try_reading,
    check_seen=lambda item, seen, verdicts: lost_slips(item, item.slips, seen),
)
