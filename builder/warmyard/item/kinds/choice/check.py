"""Whether a choice item is sound."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.errors import SourceError
from warmyard.item.faults import FEWEST_OPTIONS, fault_of
from warmyard.item.kinds.choice.schema import Choice
from warmyard.item.surroundings import Surroundings

LONGEST_IS_RIGHT = 1.6
"""A right option this many times as long as the longest wrong one gives itself away."""


def check_choice(item: Choice, around: Surroundings) -> Iterator[SourceError]:
    """Yield what is wrong with the options: their number, which are right, their reasons, their length."""
    ids = [option.id for option in item.options]
    right = [option for option in item.options if option.right]
    wrong = [option for option in item.options if not option.right]
    if len(ids) < FEWEST_OPTIONS or len(set(ids)) < len(ids):
        yield fault_of(item, "options", f"{len(set(ids))} options of their own", f"write {FEWEST_OPTIONS} or more")
    if not right or (len(right) > 1 and not item.several):
        what_to_do = "mark one option right: true, or set several: true"
        yield fault_of(item, "options", f"{len(right)} options are right", what_to_do)
    if not wrong:
        yield fault_of(item, "options", "no option is wrong", "write a mistake that people make")
    said: dict[str, str] = {}
    for at, option in enumerate(item.options):
        words = " ".join(option.text.lower().split()).rstrip(".")
        if words in said:
            what = f"the options {said[words]} and {option.id} say the same"
            yield fault_of(item, f"options.{at}", what, "write another mistake that people make")
        said.setdefault(words, option.id)
        if not option.why.strip():
            yield fault_of(item, f"options.{at}", f"the option {option.id} has no why", "say why it is right or wrong")
    if right and wrong and not item.several:
        longest = max(len(option.text) for option in wrong)
        if len(right[0].text) > LONGEST_IS_RIGHT * longest and len(right[0].text) > longest + 20:
            at = item.options.index(right[0])
            what_to_do = "shorten it, or write wrong ones of similar length"
            yield fault_of(item, f"options.{at}", "the right option gives itself away by its length", what_to_do)
