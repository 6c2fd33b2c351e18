"""Choice items: options in a drawn order."""

from __future__ import annotations

from warmyard.item.chance import Chance
from warmyard.item.kinds.choice.schema import Choice
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant_model import ChoiceKey, Question, Shown, Variant
from warmyard.item.words import sentence


def choice_variant(item: Choice, seed: int, around: Surroundings, chance: Chance) -> Variant:
    """Return the item with its options mixed."""
    options = chance.mixed(item.options)
    question = Question(
        item=item.id,
        seed=seed,
        kind="choice",
        ask=around.inline(item.ask),
        skill=item.skill,
        critical=item.critical,
        several=item.several,
        options=tuple(Shown(id=option.id, text=around.inline(option.text)) for option in options),
    )
    right = tuple(option.id for option in item.options if option.right)
    why = {option.id: sentence(around.inline(option.why)) for option in item.options}
    return Variant(question=question, key=ChoiceKey(right=right, why=why), sense=around.inline(item.sense))
