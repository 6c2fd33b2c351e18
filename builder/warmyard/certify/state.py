"""What the ledger says after its first N entries: people, keys, facts. Built by admitting one entry after another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Generic, NoReturn, TypeVar

import msgspec

from warmyard.certify import envelope
from warmyard.certify.bodies import (
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
from warmyard.certify.canonical import canonical_bytes
from warmyard.certify.entry import NOTHING_BEFORE, Entry
from warmyard.course.model import Scheme
from warmyard.errors import VerificationError

B = TypeVar("B", bound=Body)


@dataclass(frozen=True, slots=True)
class Fact(Generic[B]):
    """An entry with its typed body."""

    entry: Entry
    body: B


@dataclass(slots=True)
class HeldKey:
    """A key of the ledger: whose it is, and between which entries it may sign."""

    id: str
    public: bytes
    use: str
    owner: str
    from_entry: int
    until_entry: int = 0
    """Entry that ended it; 0 while it holds."""
    stolen_since: int = 0
    """Entry from which what it signed is to be confirmed; 0 when it was not stolen."""
    added_with: str = ""
    """Id of the key that signed its entry."""


@dataclass(slots=True)
class Member:
    """A person: roles held, digests of side files, whether forgotten."""

    id: str
    roles: tuple[str, ...]
    side: str
    since_entry: int
    erased: bool = False


@dataclass(slots=True)
class State:
    """What the ledger says; `admit` is its only writer, everything else only reads."""

    count: int = 0
    tip: str = NOTHING_BEFORE
    """Digest of the last record."""
    last_recorded_at: datetime | None = None
    office: str = ""
    recovery: str = ""
    digests: list[str] = field(default_factory=list)
    keys: dict[str, HeldKey] = field(default_factory=dict)
    people: dict[str, Member] = field(default_factory=dict)
    adopted: list[Fact[SchemeAdopted]] = field(default_factory=list)
    schemes: dict[str, Scheme] = field(default_factory=dict)
    """Digest -> scheme, as read from schemes/; filled by the ledger after verification."""
    facts: dict[str, list[Fact[Any]]] = field(default_factory=lambda: defaultdict(list))
    """Person -> facts in the order of entries."""
    papers: dict[str, Fact[Paper]] = field(default_factory=dict)
    sittings: dict[str, Fact[Sitting]] = field(default_factory=dict)
    """Paper id -> its sitting."""
    records_seen: dict[str, int] = field(default_factory=dict)
    """Digest of handed-in bytes -> entry number."""
    forms: dict[str, int] = field(default_factory=dict)
    """Id of an observation form -> entry number."""
    grants: dict[str, Fact[Decision]] = field(default_factory=dict)
    """Certificate id -> the grant."""
    notices: dict[str, Fact[Notice]] = field(default_factory=dict)
    by_number: dict[int, Fact[Any]] = field(default_factory=dict)
    """Facts that other entries may point at."""
    voided: set[int] = field(default_factory=set)
    indexes: set[int] = field(default_factory=set)
    """Places in the status lists that are taken."""

    def of(self, person: str, kind: type[B]) -> Iterator[Fact[B]]:
        """Yield a person's facts of one kind that are not void, in order."""
        for fact in self.facts.get(person, ()):
            if type(fact.body) is kind and fact.entry.number not in self.voided:
                yield fact

    def key_at(self, key_id: str) -> HeldKey | None:
        """Return a key that may sign the next entry, or None."""
        key = self.keys.get(key_id)
        return key if key is not None and key.until_entry == 0 else None

    def person_keys(self, person: str) -> list[HeldKey]:
        """Return the keys of a person that hold."""
        return [key for key in self.keys.values() if key.owner == person and key.until_entry == 0]

    def scheme_now(self) -> Scheme | None:
        """Return the scheme adopted last, or None."""
        return self.schemes.get(self.adopted[-1].body.digest) if self.adopted else None

    def admit(self, entry: Entry) -> None:
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
            self._check_signer(entry, body)
        self._check_names(entry, body)
        _ADMIT.get(entry.kind, _nothing_more)(self, entry, body)
        fact = Fact(entry, body)
        if entry.person:
            self.facts[entry.person].append(fact)
        self.by_number[entry.number] = fact
        self.count, self.tip, self.last_recorded_at = entry.number, entry.digest, entry.recorded_at
        self.digests.append(entry.digest)

    def _check_signer(self, entry: Entry, body: Body) -> None:
        key = self.key_at(entry.key)
        if key is None:
            _refuse("the key does not hold at this place")
        if isinstance(body, Key):
            return
        if key.use == "office" and not isinstance(body, Decision):
            return
        owner = self.people.get(key.owner)
        if key.use != "person" or owner is None or owner.erased:
            _refuse(f"this key may not sign an entry of kind {entry.kind}")
        if owner.id == entry.person:
            _refuse("somebody signed an entry about himself or herself")
        allowed = ("decider",) if isinstance(body, Decision) else type(body).signed_by
        if not set(allowed) & set(owner.roles):
            _refuse(f"this key may not sign an entry of kind {entry.kind}")

    def _check_names(self, entry: Entry, body: Body) -> None:
        if entry.person and entry.kind != "person" and entry.person not in self.people:
            _refuse("it is about a person who is not entered")
        if entry.person and entry.kind not in ("erase", "key") and self.people.get(entry.person, _NOBODY).erased:
            _refuse("it is about a person who was erased")
        for name in ("by", "observers", "trained_by", "approved_by", "invigilator", "decider", "trainers", "examiners"):
            named = getattr(body, name, ())
            for person in (named,) if isinstance(named, str) else named:
                if person and person not in self.people:
                    _refuse("it names a person who is not entered")

    def may_be_forged(self, entry: Entry) -> bool:
        """Say whether an entry is to be confirmed: signed with a key after it was stolen, or with one added by such."""
        number, key = entry.number, self.keys.get(entry.key)
        while key is not None:
            if key.stolen_since and number >= key.stolen_since:
                return True
            number, key = key.from_entry, self.keys.get(key.added_with)
        return False

    def has_role(self, person: str, role: str) -> bool:
        """Say whether a person holds a role."""
        member = self.people.get(person)
        return member is not None and not member.erased and role in member.roles


def _refuse(what: str) -> NoReturn:
    raise VerificationError("place", what)


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


def countersigned_bytes(person: str, body: Waiver) -> bytes:
    """Return what the second person of a waiver signs: the person and the waiver without its countersignature."""
    plain = msgspec.to_builtins(body)
    del plain["countersign"]
    return canonical_bytes({"person": person, "waiver": plain})


def _admit_waiver(state: State, entry: Entry, body: Waiver) -> None:
    second: Countersign = body.countersign
    key = state.key_at(second.key)
    if key is None or key.owner != second.person or second.person in (body.decider, entry.person):
        _refuse("a waiver is not countersigned by another person")
    if key.id == entry.key or not (state.has_role(second.person, "custodian") or state.has_role(key.owner, "decider")):
        _refuse("a waiver is countersigned by somebody who may not")
    signature = envelope.decode_base64url(second.signature)
    if not envelope.may_trust(key.public, countersigned_bytes(entry.person, body), signature):
        _refuse("a waiver's second signature does not hold")


def _admit_decision(state: State, entry: Entry, body: Decision) -> None:
    if state.keys[entry.key].owner != body.decider or body.decider == entry.person:
        _refuse("a decision is not signed by its decider")
    if not any(fact.body.digest == body.scheme for fact in state.adopted):
        _refuse("a decision under a scheme that was not adopted")
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
    if body.stage != "lodged" and (not body.by or {fact.body.decider, entry.person} & set(body.by)):
        _refuse("an appeal decided by nobody, or by somebody involved")


def _admit_void(state: State, entry: Entry, body: Void) -> None:
    del entry
    fact = state.by_number.get(body.entry)
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
    "waiver": _admit_waiver,
    "decision": _admit_decision,
    "appeal": _admit_appeal,
    "void": _admit_void,
    "certificate": _admit_certificate,
    "notice": _admit_notice,
    "acknowledgement": _admit_acknowledgement,
    "erase": _admit_erase,
}
