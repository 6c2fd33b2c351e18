"""Which entry may stand where: each kind has its own conditions, and only here does the state change."""

from __future__ import annotations

from collections.abc import Callable
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
    Countersign,
    Decision,
    Erase,
    Interest,
    Irregularity,
    Key,
    KeyPair,
    Notice,
    Observation,
    Open,
    Paper,
    Person,
    SchemeAdopted,
    Sitting,
    Void,
    Waiver,
)
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.state import Fact, HeldKey, Member, State
from warmyard.errors import VerificationError


def admit(state: State, entry: Entry) -> None:
    """Take the next entry in; raise VerificationError when it may not stand at this place.

    The caller has looked at number, chain, time and signature.
    """
    kind = KINDS.get(entry.kind)
    if kind is None:
        _refuse("there is no such kind of entry")
    if bool(entry.person) == (entry.kind in WITHOUT_PERSON) and entry.kind != "key":
        _refuse("a person is named where none belongs, or none where one does")
    try:
        body = msgspec.convert(entry.body, kind, strict=True)
    except msgspec.ValidationError:
        _refuse(f"the body is not that of kind {entry.kind}")
    if entry.kind != "open":
        _check_signer(state, entry, body)
    _check_names(state, entry, body)
    _ADMIT.get(entry.kind, _nothing_more)(state, entry, body)
    fact = Fact(entry, body)
    if entry.person:
        state.facts[entry.person].append(fact)
    state.by_number[entry.number] = fact
    state.count, state.tip, state.last_recorded_at = entry.number, entry.digest, entry.recorded_at
    state.digests.append(entry.digest)


def _check_signer(state: State, entry: Entry, body: Body) -> None:
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


def _check_names(state: State, entry: Entry, body: Body) -> None:
    if entry.person and entry.kind != "person" and entry.person not in state.people:
        _refuse("it is about a person who is not entered")
    if entry.person and entry.kind not in ("erase", "key") and state.people.get(entry.person, _NOBODY).erased:
        _refuse("it is about a person who was erased")
    for name in _NAMING:
        named = getattr(body, name, ())
        for person in (named,) if isinstance(named, str) else named:
            if person and person not in state.people:
                _refuse("it names a person who is not entered")


def _refuse(what: str) -> NoReturn:
    raise VerificationError("place", what)


_NAMING = (
    "about", "approved_by", "by", "decider", "examiners", "invigilator", "observers", "trained_by", "trainers",
)  # fmt: skip
"""Fields of bodies that name people."""
_NOBODY = Member("", (), "", 0)


def _nothing_more(state: State, entry: Entry, body: Any) -> None:
    del state, entry, body


def _pin(state: State, number: int, pair: KeyPair, use: str, owner: str = "", signed_with: str = "") -> None:
    public = envelope.decode_base64url(pair.public)
    if envelope.is_weak(public):
        _refuse("a public key is no key of anybody")
    if envelope.key_id(public) != pair.id:
        _refuse("a key's id does not fit its public half")
    if pair.id in state.keys:
        _refuse("a key is entered twice")
    state.keys[pair.id] = HeldKey(pair.id, public, use, owner, number, added_with=signed_with)


def _admit_open(state: State, entry: Entry, body: Open) -> None:
    if entry.number != 1:
        _refuse("a ledger is opened once")
    _pin(state, 1, body.office, "office")
    _pin(state, 1, body.recovery, "recovery")
    state.office, state.recovery = body.office.id, body.recovery.id
    if entry.key != state.office:
        _refuse("the first entry is not signed with the key that it pins")


def _admit_scheme(state: State, entry: Entry, body: SchemeAdopted) -> None:
    state.adopted.append(Fact(entry, body))


def _admit_person(state: State, entry: Entry, body: Person) -> None:
    known = state.people.get(entry.person)
    since = known.since_entry if known else entry.number
    state.people[entry.person] = Member(entry.person, tuple(body.roles), body.side, since)


def _admit_key(state: State, entry: Entry, body: Key) -> None:
    signer = state.keys[entry.key]
    if body.action == "add":
        if signer.use != "office" or body.use != "person" or not entry.person:
            _refuse("a person's key is added with the office key")
        _pin(state, entry.number, KeyPair(id=body.key, public=body.public), "person", entry.person, entry.key)
        return
    old = state.key_at(body.replaces if body.action == "replace" else body.key)
    if old is None or old.use != body.use or old.owner != entry.person:
        _refuse("it is about a key that does not hold")
    may = {"person": ("office",), "office": ("office", "recovery"), "recovery": ("recovery",)}[old.use]
    if signer.use not in may and signer.id != old.id:
        _refuse("this key may not end that one")
    if body.action == "replace":
        _pin(state, entry.number, KeyPair(id=body.key, public=body.public), old.use, old.owner, entry.key)
        if old.use != "person":
            setattr(state, old.use, body.key)
    elif old.use != "person":
        _refuse("an office or recovery key is replaced, so that there is always one")
    old.until_entry = entry.number
    if body.action == "stolen" or body.since_entry:
        old.stolen_since = max(body.since_entry, 1)


def _admit_paper(state: State, entry: Entry, body: Paper) -> None:
    if body.paper in state.papers:
        _refuse("a paper is issued twice")
    if body.adjustments and body.approved_by in ("", entry.person):
        _refuse("a paper is adjusted and nobody else approved it")
    state.papers[body.paper] = Fact(entry, body)


def _admit_sitting(state: State, entry: Entry, body: Sitting) -> None:
    paper = state.papers.get(body.paper)
    if paper is None or paper.entry.person != entry.person:
        _refuse("a sitting of a paper that this person was not given")
    if body.paper in state.sittings:
        _refuse("a paper is sat twice")
    if (body.level, body.part) != (paper.body.level, paper.body.part):
        _refuse("a sitting of another level or part than its paper")
    state.sittings[body.paper] = Fact(entry, body)
    state.records_seen[body.record] = entry.number


def _admit_irregularity(state: State, entry: Entry, body: Irregularity) -> None:
    paper = state.papers.get(body.paper)
    if paper is None or paper.entry.person != entry.person:
        _refuse("it is about a paper that this person was not given")
    if body.record:
        state.records_seen.setdefault(body.record, entry.number)


def _admit_observation(state: State, entry: Entry, body: Observation) -> None:
    if body.form:
        if body.form in state.forms:
            _refuse(f"this form is entered already, as entry {state.forms[body.form]}")
        state.forms[body.form] = entry.number
    if entry.person in body.observers:
        _refuse("somebody observed himself or herself")


def _admit_interest(state: State, entry: Entry, body: Interest) -> None:
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


def countersigned_bytes(person: str, body: Waiver) -> bytes:
    """Return what the second person of a waiver signs: the person and the waiver without its countersignature."""
    plain = msgspec.to_builtins(body)
    del plain["countersign"]
    return canonical_bytes({"person": person, "waiver": plain})


def _admit_waiver(state: State, entry: Entry, body: Waiver) -> None:
    second: Countersign = body.countersign
    key = state.key_at(second.key)
    if not (body.conflicts or body.observers):
        _refuse("a waiver that waives nothing")
    if key is None or key.owner != second.person or second.person in (body.decider, entry.person, *body.observers):
        _refuse("a waiver is not countersigned by another person")
    if key.id == entry.key or not (state.has_role(second.person, "custodian") or state.has_role(key.owner, "decider")):
        _refuse("a waiver is countersigned by somebody who may not")
    signature = envelope.decode_base64url(second.signature)
    if not envelope.may_trust(key.public, countersigned_bytes(entry.person, body), signature):
        _refuse("a waiver's second signature does not hold")


def _is_day(text: str) -> bool:
    try:
        return bool(date.fromisoformat(text))
    except ValueError:
        return False


def _admit_decision(state: State, entry: Entry, body: Decision) -> None:
    if state.keys[entry.key].owner != body.decider or body.decider == entry.person:
        _refuse("a decision is not signed by its decider")
    if not any(fact.body.digest == body.scheme for fact in state.adopted):
        _refuse("a decision under a scheme that was not adopted")
    if not set(body.evidence) <= set(state.by_number):
        _refuse("a decision that rests on entries that are not there")
    waiver = state.by_number.get(body.waiver)
    if body.waiver and not (waiver and isinstance(waiver.body, Waiver) and waiver.entry.person == entry.person):
        _refuse("a decision under a waiver that is none about this person")
    if body.until and not _is_day(body.until):
        _refuse("a decision until a day that is none")
    grant = state.grants.get(body.certificate)
    if body.action == "grant":
        if grant is not None or body.index in state.indexes or not (body.certificate and body.until):
            _refuse("a grant without its own certificate number, place or end")
        state.grants[body.certificate] = Fact(entry, body)
        state.indexes.add(body.index)
    elif grant is None or grant.entry.person != entry.person or grant.body.level != body.level:
        _refuse("a decision about a certificate that this person was not given")


def _admit_appeal(state: State, entry: Entry, body: Appeal) -> None:
    fact = state.by_number.get(body.decision)
    if fact is None or not isinstance(fact.body, Decision) or fact.entry.person != entry.person:
        _refuse("an appeal against something that is no decision about this person")
    involved = {fact.body.decider, entry.person, *fact.body.trainers, *fact.body.examiners}
    if body.stage != "lodged" and (not body.by or involved & set(body.by)):
        _refuse("an appeal decided by nobody, or by somebody involved")


def _admit_void(state: State, entry: Entry, body: Void) -> None:
    fact = state.by_number.get(body.entry)
    if fact is not None and fact.entry.person and fact.entry.person == state.keys[entry.key].owner:
        _refuse("somebody made void an entry about himself or herself")
    if fact is None or fact.entry.kind not in VOIDABLE or body.entry in state.voided:
        _refuse("an entry that cannot be made void")
    state.voided.add(body.entry)


def _admit_certificate(state: State, entry: Entry, body: Certificate) -> None:
    grant = state.grants.get(body.certificate)
    if grant is None or grant.entry.person != entry.person or grant.entry.number != body.decision:
        _refuse("a certificate without its grant")


def _admit_notice(state: State, entry: Entry, body: Notice) -> None:
    if body.notice in state.notices:
        _refuse("a notice is entered twice")
    if not _is_day(body.until):
        _refuse("a notice until a day that is none")
    state.notices[body.notice] = Fact(entry, body)


def _admit_acknowledgement(state: State, entry: Entry, body: Acknowledgement) -> None:
    del entry
    if body.notice not in state.notices:
        _refuse("an answer to a notice that was not given")


def _admit_erase(state: State, entry: Entry, body: Erase) -> None:
    del body
    state.people[entry.person].erased = True
    for key in state.person_keys(entry.person):
        key.until_entry = entry.number


_ADMIT: dict[str, Callable[[State, Entry, Any], None]] = {
    "open": _admit_open,
    "scheme": _admit_scheme,
    "person": _admit_person,
    "key": _admit_key,
    "paper": _admit_paper,
    "sitting": _admit_sitting,
    "irregularity": _admit_irregularity,
    "observation": _admit_observation,
    "interest": _admit_interest,
    "waiver": _admit_waiver,
    "decision": _admit_decision,
    "appeal": _admit_appeal,
    "void": _admit_void,
    "certificate": _admit_certificate,
    "notice": _admit_notice,
    "acknowledgement": _admit_acknowledgement,
    "erase": _admit_erase,
}
