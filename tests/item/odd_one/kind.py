"""The record of odd-one items: an answer is chosen, and marked as every choice is."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.item.kinds.odd_one.schema import OddOne

from warmyard.errors import SourceError
from warmyard.item.chance import Chance
from warmyard.item.faults import fault_of
from warmyard.item.kind import Kind
from warmyard.item.kinds.choice.marking import CHOOSING
from warmyard.item.printing import options_html
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant_model import ChoiceKey, Question, Shown, Variant


def check_odd_one(item: OddOne, around: Surroundings) -> Iterator[SourceError]:
    """Yield too few things that belong together, and an odd one among them."""
    if len(item.belong) < 2:
        yield fault_of(item, "belong", "one thing belongs to nothing", "name two or more")
    if item.odd in item.belong:
        yield fault_of(item, "odd", f"{item.odd} belongs to the others", "name one that does not")


def odd_one_variant(item: OddOne, seed: int, around: Surroundings, chance: Chance) -> Variant:
    """Return the item with its things mixed."""
    things = chance.mixed([*item.belong, item.odd])
    question = Question(
        item=item.id,
        seed=seed,
        kind="odd-one",
        ask=around.inline(item.ask),
        skill=item.skill,
        critical=item.critical,
        options=tuple(Shown(id=thing.replace(" ", "-"), text=thing) for thing in things),
    )
    why = {thing.replace(" ", "-"): text for thing, text in {**item.belong, item.odd: item.odd_why}.items()}
    return Variant(question=question, key=ChoiceKey(right=(item.odd.replace(" ", "-"),), why=why))


KIND = Kind(
    struct=OddOne,
    marking=CHOOSING,
    shows=("knowledge",),
    rank=70,
    variants=3,
    draw=odd_one_variant,
    check=check_odd_one,
    print=lambda question, words: options_html(question),
)
