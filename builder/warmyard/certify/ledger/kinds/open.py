"""The first entry: the office key and the recovery key."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Open
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.pairs import pin, verify_pair
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Open) -> None:
    if entry.number != 1:
        refuse("a ledger is opened once")
    verify_pair(state, body.office)
    verify_pair(state, body.recovery)
    if body.office.id == body.recovery.id:
        refuse("a key is entered twice")
    if entry.key != body.office.id:
        refuse("the first entry is not signed with the key that it pins")


def _change(state: State, fact: Fact[Open]) -> None:
    pin(state, 1, fact.body.office, "office")
    pin(state, 1, fact.body.recovery, "recovery")
    state.office, state.recovery = fact.body.office.id, fact.body.recovery.id


KIND = EntryKind(body=Open, verify=_verify, change=_change)
