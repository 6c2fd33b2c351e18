"""A person forgotten."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Erase
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.state import Fact, State


def _change(state: State, fact: Fact[Erase]) -> None:
    state.people[fact.entry.person].erased = True
    for key in state.person_keys(fact.entry.person):
        key.until_entry = fact.entry.number


KIND = EntryKind(body=Erase, change=_change)
