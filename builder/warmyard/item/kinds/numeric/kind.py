"""The record of numeric items."""

from __future__ import annotations

from warmyard.item.kind import Kind
from warmyard.item.kinds.numeric.check import check_numeric, check_seen, try_numbers
from warmyard.item.kinds.numeric.draw import numeric_variant
from warmyard.item.kinds.numeric.helps import numeric_helps
from warmyard.item.kinds.numeric.marking import NUMBER
from warmyard.item.kinds.numeric.schema import Numeric
from warmyard.item.printing import line_html, options_html

KIND = Kind(
    struct=Numeric,
    marking=NUMBER,
    shows=("sum",),
    rank=30,
    variants=20,
    draw=numeric_variant,
    helps=numeric_helps,
    check=check_numeric,
    print=lambda question, words: line_html(question, words) + options_html(question),
    formulas=lambda item: [*(link.formula for link in item.chain), *([item.formula] if item.formula else [])],
    draws=lambda item: item.draw,
    drawn_when_faulty=True,
    try_numbers=try_numbers,
    check_seen=check_seen,
)
