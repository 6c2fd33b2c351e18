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
from warmyard.item.kind_table import marking_of

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
        question, key = asked.variant.question, asked.variant.key
        marking = marking_of(key)
        names = marking.wrong(question, key)
        if names:
            offered[asked.item] = tuple(names.values())
            taken = marking.given(question, key, msgspec.to_builtins(responses.get(asked.name, Response())))
            given[asked.item] = tuple(names[id] for id in taken if id in names)
    return given, offered
