"""Which wrong answers were given in a sitting: read back from its side file against the frozen key of its paper."""

from __future__ import annotations

from pathlib import Path

import msgspec

from warmyard.certify.exam.paper_key import read_key
from warmyard.certify.exam.sitting import Response, read_sitting
from warmyard.certify.ledger.bodies import Paper, Sitting
from warmyard.certify.ledger.side_files import STEP, read_side
from warmyard.certify.ledger.state import Fact
from warmyard.errors import VerificationError
from warmyard.item.marking import mark
from warmyard.item.variant_model import ChoiceKey, NumberKey, PointKey, Variant

Named = dict[str, tuple[str, ...]]
"""Item -> answers, an option by its text and a wrong number by the slip that it meets."""


def wrong_answers(records: Path, paper: Fact[Paper], sitting: Fact[Sitting]) -> tuple[Named, Named]:
    """Return the wrong answers that were given, and those that could have been, of each item that names its own.

    Raises VerificationError when the side file or the paper key is missing or was changed.
    """
    handed_in = read_side(records, paper.entry.person, sitting.body.side).get("handed_in")
    if not isinstance(handed_in, str):
        raise VerificationError(STEP, "a sitting's side file holds no answers")
    responses = {one.question: one.response for one in read_sitting(handed_in.encode("utf-8")).answers}
    given: Named = {}
    offered: Named = {}
    for asked in read_key(records, paper.body.paper, paper.body.frozen_key).questions:
        names = _wrong_names(asked.variant)
        if names:
            offered[asked.item] = tuple(names.values())
            taken = _taken(asked.variant, responses.get(asked.name, Response()))
            given[asked.item] = tuple(names[id] for id in taken if id in names)
    return given, offered


def _wrong_names(variant: Variant) -> dict[str, str]:
    """Return the id and the name of every wrong answer that the variant has; none for an order or a fault case."""
    key = variant.key
    if isinstance(key, (ChoiceKey, PointKey)):
        return {option.id: option.text for option in variant.question.options if option.id not in key.right}
    return {slip.id: slip.id for slip in key.slips} if isinstance(key, NumberKey) else {}


def _taken(variant: Variant, response: Response) -> tuple[str, ...]:
    if isinstance(variant.key, NumberKey):
        return (mark(variant, msgspec.to_builtins(response)).slip,)
    return (response.point,) if isinstance(variant.key, PointKey) else tuple(dict.fromkeys(response.chosen))
