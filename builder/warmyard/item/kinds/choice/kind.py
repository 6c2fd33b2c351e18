"""The record of choice items."""

from __future__ import annotations

from warmyard.item.kind import Kind, Said
from warmyard.item.kinds.choice.check import check_choice
from warmyard.item.kinds.choice.draw import choice_variant
from warmyard.item.kinds.choice.marking import CHOOSING
from warmyard.item.kinds.choice.schema import Choice
from warmyard.item.printing import options_html

KIND = Kind(
    struct=Choice,
    marking=CHOOSING,
    shows=("knowledge",),
    rank=10,
    variants=6,
    draw=choice_variant,
    check=check_choice,
    says=lambda item: [
        Said(f"options.{at}", option.text, option.right, option.why) for at, option in enumerate(item.options)
    ],
    print=lambda question, words: options_html(question),
)
