"""An entry that counts no longer."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Void
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Void) -> None:
    fact = state.by_number.get(body.entry)
    if fact is not None and fact.entry.person and fact.entry.person == state.keys[entry.key].owner:
        refuse("somebody made void an entry about himself or herself")
    if fact is None or not type(fact.body).voidable or body.entry in state.voided:
        refuse("an entry that cannot be made void")


def _change(state: State, fact: Fact[Void]) -> None:
    state.voided[fact.body.entry] = fact.entry.number


KIND = EntryKind(body=Void, verify=_verify, change=_change)
