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

    kind: ClassVar[str] = ""
    """Its name in the entry; a part of a body has none."""
    signed_by: ClassVar[tuple[Role, ...]] = ()
    """Roles whose own key may sign this kind, besides the office key."""
    by_oneself: ClassVar[bool] = False
    """Whether the person whom it is about may sign it."""
    restricts: ClassVar[bool] = False
    """A restriction counts from the earlier of its two dates, anything else from the later."""
    voidable: ClassVar[bool] = False
    """Whether a later entry may say that it counts no longer."""
    is_about: ClassVar[Literal["person", "nobody", "either"]] = "person"
    """Whom an entry of this kind is about."""
    of_erased: ClassVar[bool] = False
    """Whether it may be about a person who was erased."""
    adopts: ClassVar[bool] = False
    """Whether it brings a scheme, whose text lies in schemes/."""
    enters: ClassVar[bool] = False
    """Whether the person whom it is about may be new."""
    signer: ClassVar[Literal["roles", "own rule", "itself"]] = "roles"
    """What says who may sign: the roles above, the kind's own rule, or, with the first entry, the entry itself."""
    office_signs: ClassVar[bool] = True
    """Whether the office key may sign this kind."""

    def tells_of(self) -> tuple[PersonId, ...]:
        """Return the people besides its own whom the words in its side file may name."""
        return ()


class KeyPair(Body, frozen=True, kw_only=True):
    """The public half of a key, and its id."""

    id: KeyId
    public: Public


class Open(Body, frozen=True, kw_only=True):
    """The first entry: pins the office key and the recovery key."""

    kind = "open"
    is_about = "nobody"
    signer = "itself"
    office: KeyPair
    recovery: KeyPair


class SchemeAdopted(Body, frozen=True, kw_only=True):
    """The scheme that holds from here; its text is schemes/DIGEST.json."""

    kind = "scheme"
    adopts = True
    signed_by = ("custodian",)
    is_about = "nobody"
    scheme: Code
    version: Annotated[str, Meta(min_length=1, max_length=40)]
    digest: Digest


class Person(Body, frozen=True, kw_only=True):
    """A person and the roles held from here; the name is in the side file."""

    kind = "person"
    signed_by = ("custodian",)
    enters = True
    roles: tuple[Role, ...] = ()
    side: Digest


class Key(Body, frozen=True, kw_only=True):
    """A key added, retired, replaced or reported stolen; the entry's person owns a person's key."""

    kind = "key"
    is_about = "either"
    of_erased = True
    signer = "own rule"
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

    kind = "evidence"
    signed_by = ("trainer", "examiner", "custodian")
    voidable = True
    what: Code
    level: LevelNumber
    count: Annotated[int, Meta(ge=1, le=1_000_000)] = 1
    by: PersonId
    """Who vouches for it."""
    trained_by: tuple[PersonId, ...] = ()
    side: Digest = ""


class Observation(Body, frozen=True, kw_only=True):
    """A station seen by observers; the points are in the body, notes in the side file."""

    kind = "observation"
    signed_by = ("examiner", "custodian")
    voidable = True
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

    kind = "paper"
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

    kind = "sitting"
    signed_by = ("custodian",)
    voidable = True
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

    kind = "irregularity"
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

    kind = "interest"
    signed_by = ("custodian",)
    by_oneself = True
    voidable = True
    about: tuple[PersonId, ...] = ()
    """In alphabetical order; empty when there is nothing to declare."""
    side: Digest = ""

    def tells_of(self) -> tuple[PersonId, ...]:
        """Return those about whom it declares an interest: the words say why."""
        return self.about


class Waiver(Body, frozen=True, kw_only=True):
    """Conflicts of interest accepted, with the reason in the side file, by two people."""

    kind = "waiver"
    signed_by = ("decider", "custodian")
    voidable = True
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

    kind = "decision"
    signed_by = ("decider",)
    office_signs = False
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

    kind = "appeal"
    signed_by = ("custodian", "decider")
    voidable = True
    decision: Count
    stage: Literal["lodged", "upheld", "dismissed"]
    by: tuple[PersonId, ...] = ()
    side: Digest = ""


class Void(Body, frozen=True, kw_only=True):
    """An entry that counts no longer, with its reason code; it stays readable."""

    kind = "void"
    signed_by = ("custodian",)
    restricts = True
    is_about = "nobody"
    entry: Count
    because: Code


class Certificate(Body, frozen=True, kw_only=True):
    """A certificate written to file and paper."""

    kind = "certificate"
    signed_by = ("custodian",)
    certificate: CertificateId
    decision: Count
    credential: Digest


class Notice(Body, frozen=True, kw_only=True):
    """A lesson, sheet or rule that holders of some levels must read again by a day."""

    kind = "notice"
    signed_by = ("trainer", "custodian")
    is_about = "nobody"
    voidable = True
    notice: NoticeId
    changed: Annotated[str, Meta(pattern=r"\A(lesson|sheet|rule):[A-Za-z0-9.-]{1,50}\Z")]
    source: Digest
    """Of the file that holds it, as it is now."""
    levels: Annotated[tuple[LevelNumber, ...], Meta(min_length=1, max_length=20)]
    until: Day


class Acknowledgement(Body, frozen=True, kw_only=True):
    """A person has read again what a notice names; the day is the entry's effective date."""

    kind = "acknowledgement"
    signed_by = ("trainer", "custodian")
    voidable = True
    notice: NoticeId


class Erase(Body, frozen=True, kw_only=True):
    """A person forgotten: names, texts, photographs, answers are deleted, this ledger keeps only numbers."""

    kind = "erase"
    signed_by = ("custodian",)
    restricts = True
    of_erased = True
    because: Code


KINDS: dict[str, type[Body]] = {body.kind: body for body in Body.__subclasses__() if body.kind}
"""Name of a kind -> what an entry of it says."""
