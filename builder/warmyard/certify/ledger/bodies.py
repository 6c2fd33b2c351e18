"""What each kind of entry says: one typed body per kind, and who may sign it.

A body holds ids, numbers, dates, digests and reason codes, never a name or a free text about a person: those stand in
side files, bound here by their digest, so that a person can be erased and the ledger still verifies.
Absent fields are left out of the signed bytes.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, TypeAlias

import msgspec
from msgspec import Meta

from warmyard.certify.ledger.ids import CertificateId, FormId, NoticeId, PaperId, PersonId, WaiverId
from warmyard.formats.entries import (
    PLACES,
    Code,
    Count,
    Day,
    Digest,
    KeyId,
    LevelNumber,
    Percent,
    Public,
    Signature,
)

SHAPES = {
    r"\A[a-z0-9-]{1,40}\Z": "1 to 40 small letters, digits and dashes",
    r"\A[0-9a-f]{64}\Z": "64 hexadecimal characters",
    r"\A[0-9a-f]{20}\Z": "20 hexadecimal characters",
    r"\A[A-Za-z0-9_-]{43}\Z": "43 characters of base64url",
    r"\A[0-9]{4}-[0-9]{2}-[0-9]{2}\Z": 'a day such as "2026-03-31"',
    r"\A[A-Za-z0-9.:-]{1,60}\Z": "1 to 60 letters, digits, dots, colons and dashes",
}
"""What each pattern asks for, in words for whoever wrote the file."""
ConflictKind: TypeAlias = Literal["trained", "examined", "declared"]
Role: TypeAlias = Literal["trainer", "examiner", "invigilator", "decider", "custodian"]


class Body(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """What an entry says."""

    signed_by: ClassVar[tuple[Role, ...]] = ()
    """Roles whose own key may sign this kind, besides the office key."""
    by_oneself: ClassVar[bool] = False
    """Whether the person whom it is about may sign it."""
    restricts: ClassVar[bool] = False
    """A restriction counts from the earlier of its two dates, anything else from the later."""


class KeyPair(Body, frozen=True, kw_only=True):
    """The public half of a key, and its id."""

    id: KeyId
    public: Public


class Open(Body, frozen=True, kw_only=True):
    """The first entry: pins the office key and the recovery key."""

    office: KeyPair
    recovery: KeyPair


class SchemeAdopted(Body, frozen=True, kw_only=True):
    """The scheme that holds from here; its text is schemes/DIGEST.json."""

    signed_by = ("custodian",)
    scheme: Code
    version: Annotated[str, Meta(min_length=1, max_length=40)]
    digest: Digest


class Person(Body, frozen=True, kw_only=True):
    """A person and the roles held from here; the name is in the side file."""

    signed_by = ("custodian",)
    roles: tuple[Role, ...] = ()
    side: Digest


class Key(Body, frozen=True, kw_only=True):
    """A key added, retired, replaced or reported stolen; the entry's person owns a person's key."""

    action: Literal["add", "retire", "replace", "stolen"]
    use: Literal["person", "office", "recovery"] = "person"
    key: KeyId
    public: Public = ""
    """Of the new key, with add and replace."""
    replaces: KeyId = ""
    since_entry: Count = 0
    """With stolen: what the key signed from this entry on is to be confirmed."""


class Evidence(Body, frozen=True, kw_only=True):
    """A fact that a prerequisite or a surveillance asks for; its day is the entry's effective date."""

    signed_by = ("trainer", "examiner", "custodian")
    what: Code
    level: LevelNumber
    count: Annotated[int, Meta(ge=1, le=1_000_000)] = 1
    by: PersonId
    """Who vouches for it."""
    trained_by: tuple[PersonId, ...] = ()
    side: Digest = ""


class Observation(Body, frozen=True, kw_only=True):
    """A station seen by observers; the points are in the body, notes in the side file."""

    signed_by = ("examiner", "custodian")
    station: Code
    level: LevelNumber
    observers: Annotated[tuple[PersonId, ...], Meta(min_length=1, max_length=5)]
    points: dict[Code, Literal["pass", "fail", "not-seen"]]
    passed: bool
    stopped: bool = False
    form: FormId = ""
    """Id of the form that it was written on; a form is entered once."""
    role: Literal["first", "second"] = "first"
    side: Digest = ""


class Paper(Body, frozen=True, kw_only=True):
    """A paper issued to a candidate: counts as an attempt."""

    signed_by = ("custodian",)
    paper: PaperId
    level: LevelNumber
    part: Code
    scheme: Digest
    page: Digest
    """Of the HTML file."""
    frozen_key: Digest
    """Of keys-of-papers/PAPER.json."""
    questions: Digest
    """Of the questions' canonical bytes, before sealing."""
    attempt: Annotated[int, Meta(ge=1, le=99)]
    minutes: Count
    invigilator: PersonId = ""
    adjustments: tuple[Code, ...] = ()
    approved_by: PersonId = ""
    """Who approved the adjustments; why stands in the side file."""
    items: tuple[Code, ...] = ()
    """Ids of the items in it, for exposure counts."""
    side: Digest = ""


class Sitting(Body, frozen=True, kw_only=True):
    """A paper handed in and marked; the answers are in the side file."""

    signed_by = ("custodian",)
    paper: PaperId
    level: LevelNumber
    part: Code
    record: Digest
    """Of the bytes handed in."""
    passed: bool
    right: Count
    of: Count
    cut_percent: Percent
    critical_missed: tuple[Code, ...] = ()
    invigilator: PersonId = ""
    minutes: Count = 0
    marks: dict[Code, bool] = {}
    """Item id -> right."""
    side: Digest = ""


class Irregularity(Body, frozen=True, kw_only=True):
    """Something about a paper that should not be: other bytes handed in, a breach, a late hand-in."""

    signed_by = ("custodian", "invigilator")
    restricts = True
    paper: PaperId
    what: Code
    record: Digest = ""
    side: Digest = ""


class Countersign(Body, frozen=True, kw_only=True):
    """The second signature under a waiver."""

    person: PersonId
    key: KeyId
    signature: Signature


class Interest(Body, frozen=True, kw_only=True):
    """A declaration of interests: about whom its person has one. The words, why, are in the side file."""

    signed_by = ("custodian",)
    by_oneself = True
    about: tuple[PersonId, ...] = ()
    """In alphabetical order; empty when there is nothing to declare."""
    side: Digest = ""


class Waiver(Body, frozen=True, kw_only=True):
    """Conflicts of interest accepted, with the reason in the side file, by two people."""

    signed_by = ("decider", "custodian")
    waiver: WaiverId
    level: LevelNumber
    decider: PersonId
    conflicts: tuple[ConflictKind, ...] = ()
    """Of the decider."""
    observers: tuple[PersonId, ...] = ()
    """Whose declared interest in the candidate is accepted, although they observed."""
    side: Digest
    countersign: Countersign


class Decision(Body, frozen=True, kw_only=True):
    """A grant, suspension, restoration or withdrawal, signed with the decider's own key."""

    level: LevelNumber
    action: Literal["grant", "suspend", "restore", "withdraw"]
    because: Code
    decider: PersonId
    scheme: Digest
    certificate: CertificateId = ""
    """Of a grant: the certificate's id; of the others: which one it is about."""
    index: Annotated[int, Meta(ge=0, lt=PLACES)] = 0
    """Of a grant: the place in the status lists."""
    activities: tuple[Code, ...] = ()
    until: Day = ""
    surveillance_months: Count = 0
    grace_days: Count = 0
    evidence: tuple[Count, ...] = ()
    """Numbers of the entries that it rests on."""
    trainers: tuple[PersonId, ...] = ()
    examiners: tuple[PersonId, ...] = ()
    waiver: Count = 0
    """Number of the waiver entry, when there is one."""


class Appeal(Body, frozen=True, kw_only=True):
    """An appeal against a decision, and its outcome."""

    signed_by = ("custodian", "decider")
    decision: Count
    stage: Literal["lodged", "upheld", "dismissed"]
    by: tuple[PersonId, ...] = ()
    side: Digest = ""


class Void(Body, frozen=True, kw_only=True):
    """An entry that counts no longer, with its reason code; it stays readable."""

    signed_by = ("custodian",)
    restricts = True
    entry: Count
    because: Code


class Certificate(Body, frozen=True, kw_only=True):
    """A certificate written to file and paper."""

    signed_by = ("custodian",)
    certificate: CertificateId
    decision: Count
    credential: Digest


class Notice(Body, frozen=True, kw_only=True):
    """A lesson, sheet or rule that holders of some levels must read again by a day."""

    signed_by = ("trainer", "custodian")
    notice: NoticeId
    changed: Annotated[str, Meta(pattern=r"\A(lesson|sheet|rule):[A-Za-z0-9.-]{1,50}\Z")]
    source: Digest
    """Of the file that holds it, as it is now."""
    levels: Annotated[tuple[LevelNumber, ...], Meta(min_length=1, max_length=20)]
    until: Day


class Acknowledgement(Body, frozen=True, kw_only=True):
    """A person has read again what a notice names; the day is the entry's effective date."""

    signed_by = ("trainer", "custodian")
    notice: NoticeId


class Erase(Body, frozen=True, kw_only=True):
    """A person forgotten: names, texts, photographs, answers are deleted, this ledger keeps only numbers."""

    signed_by = ("custodian",)
    restricts = True
    because: Code


KINDS: dict[str, type[Body]] = {
    "open": Open,
    "scheme": SchemeAdopted,
    "person": Person,
    "key": Key,
    "evidence": Evidence,
    "observation": Observation,
    "paper": Paper,
    "sitting": Sitting,
    "irregularity": Irregularity,
    "interest": Interest,
    "waiver": Waiver,
    "decision": Decision,
    "appeal": Appeal,
    "void": Void,
    "certificate": Certificate,
    "notice": Notice,
    "acknowledgement": Acknowledgement,
    "erase": Erase,
}
VOIDABLE = ("evidence", "observation", "sitting", "interest", "waiver", "appeal", "notice", "acknowledgement")
WITHOUT_PERSON = ("open", "scheme", "void", "notice")
