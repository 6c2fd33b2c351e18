"""A key added, retired, replaced or reported stolen."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Key, KeyPair
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.pairs import pin, verify_pair
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Key) -> None:
    signer = state.keys[entry.key]
    if body.action == "add":
        if signer.use != "office" or body.use != "person" or not entry.person:
            refuse("a person's key is added with the office key")
        verify_pair(state, KeyPair(id=body.key, public=body.public))
        return
    old = state.key_at(body.replaces if body.action == "replace" else body.key)
    if old is None or old.use != body.use or old.owner != entry.person:
        refuse("it is about a key that does not hold")
    may = {"person": ("office",), "office": ("office", "recovery"), "recovery": ("recovery",)}[old.use]
    if signer.use not in may and signer.id != old.id:
        refuse("this key may not end that one")
    if body.action == "replace":
        verify_pair(state, KeyPair(id=body.key, public=body.public))
    elif old.use != "person":
        refuse("an office or recovery key is replaced, so that there is always one")


def _change(state: State, fact: Fact[Key]) -> None:
    entry, body = fact.entry, fact.body
    pair = KeyPair(id=body.key, public=body.public)
    if body.action == "add":
        pin(state, entry.number, pair, "person", entry.person, entry.key)
        return
    old = state.keys[body.replaces if body.action == "replace" else body.key]
    if body.action == "replace":
        pin(state, entry.number, pair, old.use, old.owner, entry.key)
        if old.use != "person":
            setattr(state, old.use, body.key)
    old.until_entry = entry.number
    if body.action == "stolen" or body.since_entry:
        old.stolen_since, old.stolen_by_entry = max(body.since_entry, 1), entry.number


KIND = EntryKind(body=Key, verify=_verify, change=_change)
