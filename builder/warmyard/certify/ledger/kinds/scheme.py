"""The scheme that holds from here."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import SchemeAdopted
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.state import Fact, State


def _change(state: State, fact: Fact[SchemeAdopted]) -> None:
    state.adopted.append(fact)


KIND = EntryKind(body=SchemeAdopted, change=_change)
