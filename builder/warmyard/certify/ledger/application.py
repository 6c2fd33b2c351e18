"""What an entry changes: the only writer of the state, once the entry was found to stand in its place."""

from __future__ import annotations

from typing import Any

from warmyard.certify.ledger.kind_table import ENTRY_KINDS
from warmyard.certify.ledger.state import Fact, State


def apply(state: State, fact: Fact[Any]) -> None:
    """Take an entry in that `admission.place_entry` let stand here."""
    entry = fact.entry
    ENTRY_KINDS[entry.kind].change(state, fact)
    if entry.person:
        state.facts[entry.person].append(fact)
        state.of_kind[entry.person, type(fact.body)].append(fact)
    state.by_number[entry.number] = fact
    state.count, state.tip, state.last_recorded_at = entry.number, entry.digest, entry.recorded_at
    state.format = entry.format
    state.forces.clear()
    side = getattr(fact.body, "side", "")
    if side:
        state.sides.setdefault(side, entry.number)
    state.digests.append(entry.digest)
