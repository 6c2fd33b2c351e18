"""Which entry may stand where: the conditions of every kind, looked at before anything changes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, NoReturn

import msgspec

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import (
    KINDS,
    VOIDABLE,
    WITHOUT_PERSON,
    Acknowledgement,
    Appeal,
    Body,
    Certificate,
    Decision,
    Interest,
    Irregularity,
    Key,
    KeyPair,
    Notice,
    Observation,
    Open,
    Paper,
    Sitting,
    Void,
    Waiver,
)
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.ids import people_named
from warmyard.certify.ledger.state import Fact, Member, State
from warmyard.errors import VerificationError
from warmyard.formats.entries import BODIES
from warmyard.formats.register import bring_up


def place_entry(state: State, entry: Entry) -> Fact[Any]:
    """Return the next entry with its typed body; raise VerificationError when it may not stand at this place.

    Nothing changes. The caller has looked at number, chain, time and signature.
    """
    if entry.format < state.format:
        _refuse(f"it is of format {entry.format}, and the entry before it is of format {state.format}")
    kind = KINDS.get(entry.kind)
    if kind is None:
        _refuse("there is no such kind of entry")
    if bool(entry.person) == (entry.kind in WITHOUT_PERSON) and entry.kind != "key":
        _refuse("a person is named where none belongs, or none where one does")
    body = _body(entry, kind)
    if entry.kind != "open":
        _verify_signer(state, entry, body)
    _verify_names(state, entry, body)
    _PLACE.get(entry.kind, _nothing_more)(state, entry, body)
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
        _refuse(f"the body is not that of kind {entry.kind}")


def _verify_signer(state: State, entry: Entry, body: Body) -> None:
    key = state.key_at(entry.key)
    if key is None:
        _refuse("the key does not hold at this place")
    if isinstance(body, Key):
        return
    if key.use == "office" and not isinstance(body, Decision):
        return
    owner = state.people.get(key.owner)
    if key.use != "person" or owner is None or owner.erased:
        _refuse(f"this key may not sign an entry of kind {entry.kind}")
    if owner.id == entry.person:
        if type(body).by_oneself:
            return
        _refuse("somebody signed an entry about himself or herself")
    allowed = ("decider",) if isinstance(body, Decision) else type(body).signed_by
    if not set(allowed) & set(owner.roles):
        _refuse(f"this key may not sign an entry of kind {entry.kind}")


def _verify_names(state: State, entry: Entry, body: Body) -> None:
    if entry.person and entry.kind != "person" and entry.person not in state.people:
        _refuse("it is about a person who is not entered")
    if entry.person and entry.kind not in ("erase", "key") and state.people.get(entry.person, _NOBODY).erased:
        _refuse("it is about a person who was erased")
    if any(person not in state.people for person in people_named(body)):
        _refuse("it names a person who is not entered")


def _verify_side(state: State, entry: Entry, body: Body) -> None:
    """Raise when another entry bound the same side file: what is deleted for one would be missed by the other."""
    first = state.sides.get(getattr(body, "side", ""), 0)
    if first and entry.format > 1:
        _refuse(f"its side file is that of entry {first}")


def _refuse(what: str) -> NoReturn:
    raise VerificationError("place", what)


_NOBODY = Member("", (), "", 0)


def _nothing_more(state: State, entry: Entry, body: Any) -> None:
    del state, entry, body


def _verify_pair(state: State, pair: KeyPair) -> None:
    public = envelope.decode_base64url(pair.public)
    if envelope.is_weak(public):
        _refuse("a public key is no key of anybody")
    if envelope.key_id(public) != pair.id:
        _refuse("a key's id does not fit its public half")
    if pair.id in state.keys:
        _refuse("a key is entered twice")


def _verify_open(state: State, entry: Entry, body: Open) -> None:
    if entry.number != 1:
        _refuse("a ledger is opened once")
    _verify_pair(state, body.office)
    _verify_pair(state, body.recovery)
    if body.office.id == body.recovery.id:
        _refuse("a key is entered twice")
    if entry.key != body.office.id:
        _refuse("the first entry is not signed with the key that it pins")


def _verify_key(state: State, entry: Entry, body: Key) -> None:
    signer = state.keys[entry.key]
    if body.action == "add":
        if signer.use != "office" or body.use != "person" or not entry.person:
            _refuse("a person's key is added with the office key")
        _verify_pair(state, KeyPair(id=body.key, public=body.public))
        return
    old = state.key_at(body.replaces if body.action == "replace" else body.key)
    if old is None or old.use != body.use or old.owner != entry.person:
        _refuse("it is about a key that does not hold")
    may = {"person": ("office",), "office": ("office", "recovery"), "recovery": ("recovery",)}[old.use]
    if signer.use not in may and signer.id != old.id:
        _refuse("this key may not end that one")
    if body.action == "replace":
        _verify_pair(state, KeyPair(id=body.key, public=body.public))
    elif old.use != "person":
        _refuse("an office or recovery key is replaced, so that there is always one")


def _verify_paper(state: State, entry: Entry, body: Paper) -> None:
    if body.paper in state.papers:
        _refuse("a paper is issued twice")
    if body.adjustments and body.approved_by in ("", entry.person):
        _refuse("a paper is adjusted and nobody else approved it")


def _verify_sitting(state: State, entry: Entry, body: Sitting) -> None:
    paper = state.papers.get(body.paper)
    if paper is None or paper.entry.person != entry.person:
        _refuse("a sitting of a paper that this person was not given")
    if body.paper in state.sittings:
        _refuse("a paper is sat twice")
    if (body.level, body.part) != (paper.body.level, paper.body.part):
        _refuse("a sitting of another level or part than its paper")


def _verify_irregularity(state: State, entry: Entry, body: Irregularity) -> None:
    paper = state.papers.get(body.paper)
    if paper is None or paper.entry.person != entry.person:
        _refuse("it is about a paper that this person was not given")


def _verify_observation(state: State, entry: Entry, body: Observation) -> None:
    if body.form and body.form in state.forms:
        _refuse(f"this form is entered already, as entry {state.forms[body.form]}")
    if entry.person in body.observers:
        _refuse("somebody observed himself or herself")


def _verify_interest(state: State, entry: Entry, body: Interest) -> None:
    del state
    if entry.person in body.about:
        _refuse("somebody declared an interest in himself or herself")
    if list(body.about) != sorted(set(body.about)):
        _refuse("the people of a declaration stand twice or not in their order")
    if body.about and not body.side:
        _refuse("an interest is declared without a word why")
    # It would take the place of every declaration until that day.
    if entry.effective_on > entry.recorded_at.date():
        _refuse("a declaration of a day to come")


def countersigned_bytes(person: str, body: Mapping[str, Any]) -> bytes:
    """Return what the second person of a waiver signs: the person and the waiver as it is written, without its
    countersignature."""
    plain = {name: value for name, value in body.items() if name != "countersign"}
    return canonical_bytes({"person": person, "waiver": plain})


def _verify_waiver(state: State, entry: Entry, body: Waiver) -> None:
    second = body.countersign
    key = state.key_at(second.key)
    if not (body.conflicts or body.observers):
        _refuse("a waiver that waives nothing")
    if key is None or key.owner != second.person or second.person in (body.decider, entry.person, *body.observers):
        _refuse("a waiver is not countersigned by another person")
    if key.id == entry.key or not (state.has_role(second.person, "custodian") or state.has_role(key.owner, "decider")):
        _refuse("a waiver is countersigned by somebody who may not")
    signature = envelope.decode_base64url(second.signature)
    if not envelope.may_trust(key.public, countersigned_bytes(entry.person, entry.body), signature):
        _refuse("a waiver's second signature does not hold")
    if body.waiver in state.waivers and entry.format > 1:
        _refuse("a waiver is entered twice")


def _is_day(text: str) -> bool:
    try:
        return bool(date.fromisoformat(text))
    except ValueError:
        return False


def _verify_decision(state: State, entry: Entry, body: Decision) -> None:
    if state.keys[entry.key].owner != body.decider or body.decider == entry.person:
        _refuse("a decision is not signed by its decider")
    if not any(fact.body.digest == body.scheme for fact in state.adopted):
        _refuse("a decision under a scheme that was not adopted")
    if any(number not in state.by_number for number in body.evidence):
        _refuse("a decision that rests on entries that are not there")
    waiver = state.by_number.get(body.waiver)
    if body.waiver and not (waiver and isinstance(waiver.body, Waiver) and waiver.entry.person == entry.person):
        _refuse("a decision under a waiver that is not about this person")
    if body.until and not _is_day(body.until):
        _refuse("a decision that ends on no day of the calendar")
    grant = state.grants.get(body.certificate)
    if body.action == "grant":
        taken = body.index in state.indexes
        if grant is not None or taken or not (body.certificate and body.until):
            _refuse("a grant without its own certificate number, place or end")
    elif grant is None or grant.entry.person != entry.person or grant.body.level != body.level:
        _refuse("a decision about a certificate that this person was not given")


def _verify_appeal(state: State, entry: Entry, body: Appeal) -> None:
    fact = state.by_number.get(body.decision)
    if fact is None or not isinstance(fact.body, Decision) or fact.entry.person != entry.person:
        _refuse("an appeal against something that is no decision about this person")
    involved = {fact.body.decider, entry.person, *fact.body.trainers, *fact.body.examiners}
    if body.stage != "lodged" and (not body.by or involved & set(body.by)):
        _refuse("an appeal decided by nobody, or by somebody involved")


def _verify_void(state: State, entry: Entry, body: Void) -> None:
    fact = state.by_number.get(body.entry)
    if fact is not None and fact.entry.person and fact.entry.person == state.keys[entry.key].owner:
        _refuse("somebody made void an entry about himself or herself")
    if fact is None or fact.entry.kind not in VOIDABLE or body.entry in state.voided:
        _refuse("an entry that cannot be made void")


def _verify_certificate(state: State, entry: Entry, body: Certificate) -> None:
    grant = state.grants.get(body.certificate)
    if grant is None or grant.entry.person != entry.person or grant.entry.number != body.decision:
        _refuse("a certificate without its grant")


def _verify_notice(state: State, entry: Entry, body: Notice) -> None:
    if body.notice in state.notices:
        _refuse("a notice is entered twice")
    if not _is_day(body.until):
        _refuse("a notice that ends on no day of the calendar")


def _verify_acknowledgement(state: State, entry: Entry, body: Acknowledgement) -> None:
    del entry
    if body.notice not in state.notices:
        _refuse("an answer to a notice that was not given")


_PLACE: dict[str, Callable[[State, Entry, Any], None]] = {
    "open": _verify_open,
    "key": _verify_key,
    "paper": _verify_paper,
    "sitting": _verify_sitting,
    "irregularity": _verify_irregularity,
    "observation": _verify_observation,
    "interest": _verify_interest,
    "waiver": _verify_waiver,
    "decision": _verify_decision,
    "appeal": _verify_appeal,
    "void": _verify_void,
    "certificate": _verify_certificate,
    "notice": _verify_notice,
    "acknowledgement": _verify_acknowledgement,
}
