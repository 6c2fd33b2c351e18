"""What holds of every item with drawn symbols and a number as its answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from warmyard.errors import SourceError
from warmyard.formula.quantity import read_quantity
from warmyard.item.draw import half_holders, holders
from warmyard.item.faults import fault_of
from warmyard.item.kind import SEEDS
from warmyard.item.model import Answer, Draw, Item, ItemSlip
from warmyard.item.tolerance import RIGHT, Reach
from warmyard.item.variant_model import SlipValue


def check_drawn(
    item: Item,
    draws: Mapping[str, Draw],
    answer: Answer,
    slips: Iterable[ItemSlip],
    more_texts: Iterable[tuple[str, str]] = (),
) -> Iterator[SourceError]:
    """Yield names in the texts that nothing draws, a tolerance that means nothing, and slips without a word."""
    for path, text in (("ask", item.ask), ("sense", item.sense), *more_texts):
        for name in half_holders(text):
            yield fault_of(item, path, f"the brace of {{{name} is never closed", f"write {{{name}}}")
        for name in holders(text):
            if name not in draws and name != "machine":
                yield fault_of(item, path, f"{{{name}}} is not drawn", f"draw it, or write one of {', '.join(draws)}")
    if answer.within.strip().endswith("%") and answer.unit in ("degC", "degF", "dB"):
        what_to_do = f'write it in the unit, within: "0.5" for 0.5 {answer.unit}'
        yield fault_of(item, "answer", f"a share of {answer.unit} means nothing", what_to_do)
    for at, slip in enumerate(slips):
        if not slip.say.strip():
            yield fault_of(item, f"slips.{at}", f"the slip {slip.id} says nothing", "name the mistake in words")


def lost_slips(item: Item, slips: Iterable[ItemSlip], seen: set[str]) -> list[SourceError]:
    """Return the slips that led to no answer in any draw."""
    return [
        fault_of(item, "slips", f"the slip {slip.id} leads to no answer in {SEEDS} draws", "correct its relation")
        for slip in slips
        if slip.id not in seen
    ]


def what_is_mixed_up(answer: Answer, number: float, reach: Reach, slips: Sequence[SlipValue]) -> str:
    """Return which of a draw's own numbers is not marked as what it is, or nothing; no text is made for it."""
    values = [slip.value for slip in slips]
    text = f"{number:.{answer.decimals}f}" if reach.tolerance else f"{number:.12g}"
    if reach.what_is_met(read_quantity(text, answer.unit), values) != RIGHT:
        return f"its own answer {text} is marked wrong"
    for at, slip in enumerate(slips):
        if reach.what_is_met(slip.value, values) != at:
            return f"the slip {slip.id} gives {slip.value:.6g}, which is marked as something else"
    return ""
