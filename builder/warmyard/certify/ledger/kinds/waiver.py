"""Conflicts of interest accepted by two people."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Waiver
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, State


def countersigned_bytes(person: str, body: Mapping[str, Any]) -> bytes:
    """Return what the second person of a waiver signs: the person and the waiver as it is written, without its
    countersignature."""
    plain = {name: value for name, value in body.items() if name != "countersign"}
    return canonical_bytes({"person": person, "waiver": plain})


def _verify(state: State, entry: Entry, body: Waiver) -> None:
    second = body.countersign
    key = state.key_at(second.key)
    if not (body.conflicts or body.observers):
        refuse("a waiver that waives nothing")
    if key is None or key.owner != second.person or second.person in (body.decider, entry.person, *body.observers):
        refuse("a waiver is not countersigned by another person")
    if key.id == entry.key or not (state.has_role(second.person, "custodian") or state.has_role(key.owner, "decider")):
        refuse("a waiver is countersigned by somebody who may not")
    signature = envelope.decode_base64url(second.signature)
    if not envelope.may_trust(key.public, countersigned_bytes(entry.person, entry.body), signature):
        refuse("a waiver's second signature does not hold")
    if body.waiver in state.waivers and entry.format > 1:
        refuse("a waiver is entered twice")


def _change(state: State, fact: Fact[Waiver]) -> None:
    state.waivers.add(fact.body.waiver)


KIND = EntryKind(body=Waiver, verify=_verify, change=_change)
