"""Which entry may stand where: the conditions of every kind, looked at before anything changes."""

from __future__ import annotations

from typing import Any

import msgspec

from warmyard.certify.ledger.bodies import Body
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.ids import people_named
from warmyard.certify.ledger.kind_table import ENTRY_KINDS
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, Member, State
from warmyard.formats.entries import BODIES
from warmyard.formats.register import bring_up


def place_entry(state: State, entry: Entry) -> Fact[Any]:
    """Return the next entry with its typed body; raise VerificationError when it may not stand at this place.

    Nothing changes. The caller has looked at number, chain, time and signature.
    """
    if entry.format < state.format:
        refuse(f"it is of format {entry.format}, and the entry before it is of format {state.format}")
    kind = ENTRY_KINDS.get(entry.kind)
    if kind is None:
        refuse("there is no such kind of entry")
    if kind.body.is_about != "either" and bool(entry.person) != (kind.body.is_about == "person"):
        refuse("a person is named where none belongs, or none where one does")
    body = _body(entry, kind.body)
    if kind.body.signer != "itself":
        _verify_signer(state, entry, body)
    _verify_names(state, entry, body)
    kind.verify(state, entry, body)
    _verify_side(state, entry, body)
    return Fact(entry, body)


def _body(entry: Entry, kind: type[Body]) -> Body:
    """Return the body as today's model has it, whatever format it was written in."""
    format_ = BODIES[entry.kind]
    try:
        if entry.format == format_.version:
            return entry.body_as(kind)
        return msgspec.convert(bring_up(format_, entry.format, entry.body), kind, strict=True)
    except msgspec.ValidationError:
        refuse(f"the body is not that of kind {entry.kind}")


def _verify_signer(state: State, entry: Entry, body: Body) -> None:
    key = state.key_at(entry.key)
    if key is None:
        refuse("the key does not hold at this place")
    kind = type(body)
    if kind.signer == "own rule" or (key.use == "office" and kind.office_signs):
        return
    owner = state.people.get(key.owner)
    if key.use != "person" or owner is None or owner.erased:
        refuse(f"this key may not sign an entry of kind {entry.kind}")
    if owner.id == entry.person:
        if kind.by_oneself:
            return
        refuse("somebody signed an entry about himself or herself")
    if not set(kind.signed_by) & set(owner.roles):
        refuse(f"this key may not sign an entry of kind {entry.kind}")


def _verify_names(state: State, entry: Entry, body: Body) -> None:
    if entry.person and not type(body).enters and entry.person not in state.people:
        refuse("it is about a person who is not entered")
    if entry.person and not type(body).of_erased and state.people.get(entry.person, _NOBODY).erased:
        refuse("it is about a person who was erased")
    for person in people_named(body):
        if person not in state.people:
            refuse("it names a person who is not entered")


def _verify_side(state: State, entry: Entry, body: Body) -> None:
    """Raise when another entry bound the same side file: what is deleted for one would be missed by the other."""
    first = state.sides.get(getattr(body, "side", ""), 0)
    if first and entry.format > 1:
        refuse(f"its side file is that of entry {first}")


_NOBODY = Member("", (), "", 0)
