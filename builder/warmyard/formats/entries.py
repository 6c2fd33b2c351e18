"""Entries of the ledger: what each kind says, frozen by version, and the signed part around it.

Version 1 is an entry that names no format. Version 2 names itself and keeps the place of a grant inside the status
lists. Absent fields are left out of the signed bytes, so these shapes leave out what has its default.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal, TypeAlias

import msgspec
from msgspec import UNSET, Meta, UnsetType

from warmyard.formats.register import Format, Plain

Id: TypeAlias = Annotated[str, Meta(pattern=r"\A[a-z0-9-]{1,40}\Z")]
Digest: TypeAlias = Annotated[str, Meta(pattern=r"\A[0-9a-f]{64}\Z")]
KeyId: TypeAlias = Annotated[str, Meta(pattern=r"\A[0-9a-f]{20}\Z")]
Public: TypeAlias = Annotated[str, Meta(pattern=r"\A[A-Za-z0-9_-]{43}\Z")]
Signature: TypeAlias = Annotated[str, Meta(pattern=r"\A[A-Za-z0-9_-]{86}\Z")]
Day: TypeAlias = Annotated[str, Meta(pattern=r"\A[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")]
Code: TypeAlias = Annotated[str, Meta(pattern=r"\A[A-Za-z0-9.:-]{1,60}\Z")]
Count: TypeAlias = Annotated[int, Meta(ge=0, le=1_000_000)]
LevelNumber: TypeAlias = Annotated[int, Meta(ge=1, le=99)]
Percent: TypeAlias = Annotated[str, Meta(pattern=r"\A[0-9]{1,3}(\.[0-9]{1,4})?\Z")]
ConflictKind: TypeAlias = Literal["trained", "examined", "declared"]
Role: TypeAlias = Literal["trainer", "examiner", "invigilator", "decider", "custodian"]
PLACES = 131_072
"""Places in a status list: the fewest that the W3C list allows, so that one set bit tells little."""


class SignedShape(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """A frozen shape of something signed."""


class Signed1(SignedShape, frozen=True, kw_only=True):
    """The signed part of an entry that names no format."""

    body: dict[str, Any]
    effective_on: str
    key: str
    kind: str
    number: int
    person: str
    previous: str
    recorded_at: str


class Signed2(SignedShape, frozen=True, kw_only=True):
    """The signed part of an entry that names its format; without a name it is one of version 1."""

    body: dict[str, Any]
    effective_on: str
    format: str | UnsetType = UNSET
    key: str
    kind: str
    number: int
    person: str
    previous: str
    recorded_at: str


class KeyPair1(SignedShape, frozen=True, kw_only=True):
    id: KeyId
    public: Public


class OpenBody1(SignedShape, frozen=True, kw_only=True):
    format: Literal[1] = 1
    office: KeyPair1
    recovery: KeyPair1


class SchemeAdoptedBody1(SignedShape, frozen=True, kw_only=True):
    scheme: Code
    version: Annotated[str, Meta(min_length=1, max_length=40)]
    digest: Digest


class PersonBody1(SignedShape, frozen=True, kw_only=True):
    roles: tuple[Role, ...] = ()
    side: Digest


class KeyBody1(SignedShape, frozen=True, kw_only=True):
    action: Literal["add", "retire", "replace", "stolen"]
    use: Literal["person", "office", "recovery"] = "person"
    key: KeyId
    public: Public = ""
    replaces: KeyId = ""
    since_entry: Count = 0


class EvidenceBody1(SignedShape, frozen=True, kw_only=True):
    what: Code
    level: LevelNumber
    count: Annotated[int, Meta(ge=1, le=1_000_000)] = 1
    by: Id
    trained_by: tuple[Id, ...] = ()
    side: Digest = ""


class ObservationBody1(SignedShape, frozen=True, kw_only=True):
    station: Code
    level: LevelNumber
    observers: Annotated[tuple[Id, ...], Meta(min_length=1, max_length=5)]
    points: dict[Code, Literal["pass", "fail", "not-seen"]]
    passed: bool
    stopped: bool = False
    form: Id = ""
    role: Literal["first", "second"] = "first"
    side: Digest = ""


class PaperBody1(SignedShape, frozen=True, kw_only=True):
    paper: Id
    level: LevelNumber
    part: Code
    scheme: Digest
    page: Digest
    frozen_key: Digest
    questions: Digest
    attempt: Annotated[int, Meta(ge=1, le=99)]
    minutes: Count
    invigilator: Id = ""
    adjustments: tuple[Code, ...] = ()
    approved_by: Id = ""
    items: tuple[Code, ...] = ()
    side: Digest = ""


class SittingBody1(SignedShape, frozen=True, kw_only=True):
    paper: Id
    level: LevelNumber
    part: Code
    record: Digest
    passed: bool
    right: Count
    of: Count
    cut_percent: Percent
    critical_missed: tuple[Code, ...] = ()
    invigilator: Id = ""
    minutes: Count = 0
    marks: dict[Code, bool] = {}
    side: Digest = ""


class IrregularityBody1(SignedShape, frozen=True, kw_only=True):
    paper: Id
    what: Code
    record: Digest = ""
    side: Digest = ""


class Countersign1(SignedShape, frozen=True, kw_only=True):
    person: Id
    key: KeyId
    signature: Signature


class InterestBody1(SignedShape, frozen=True, kw_only=True):
    about: tuple[Id, ...] = ()
    side: Digest = ""


class WaiverBody1(SignedShape, frozen=True, kw_only=True):
    waiver: Id
    level: LevelNumber
    decider: Id
    conflicts: tuple[ConflictKind, ...] = ()
    observers: tuple[Id, ...] = ()
    side: Digest
    countersign: Countersign1


class DecisionBody1(SignedShape, frozen=True, kw_only=True):
    level: LevelNumber
    action: Literal["grant", "suspend", "restore", "withdraw"]
    because: Code
    decider: Id
    scheme: Digest
    certificate: Id = ""
    index: Count = 0
    activities: tuple[Code, ...] = ()
    until: Day = ""
    surveillance_months: Count = 0
    grace_days: Count = 0
    evidence: tuple[Count, ...] = ()
    trainers: tuple[Id, ...] = ()
    examiners: tuple[Id, ...] = ()
    waiver: Count = 0


class AppealBody1(SignedShape, frozen=True, kw_only=True):
    decision: Count
    stage: Literal["lodged", "upheld", "dismissed"]
    by: tuple[Id, ...] = ()
    side: Digest = ""


class VoidBody1(SignedShape, frozen=True, kw_only=True):
    entry: Count
    because: Code


class CertificateBody1(SignedShape, frozen=True, kw_only=True):
    certificate: Id
    decision: Count
    credential: Digest


class NoticeBody1(SignedShape, frozen=True, kw_only=True):
    notice: Id
    changed: Annotated[str, Meta(pattern="\\A(lesson|sheet|rule):[A-Za-z0-9.-]{1,50}\\Z")]
    source: Digest
    levels: Annotated[tuple[LevelNumber, ...], Meta(min_length=1, max_length=20)]
    until: Day


class AcknowledgementBody1(SignedShape, frozen=True, kw_only=True):
    notice: Id


class EraseBody1(SignedShape, frozen=True, kw_only=True):
    because: Code


class OpenBody2(SignedShape, frozen=True, kw_only=True):
    office: KeyPair1
    recovery: KeyPair1


class DecisionBody2(SignedShape, frozen=True, kw_only=True):
    level: LevelNumber
    action: Literal["grant", "suspend", "restore", "withdraw"]
    because: Code
    decider: Id
    scheme: Digest
    certificate: Id = ""
    index: Annotated[int, Meta(ge=0, lt=PLACES)] = 0
    activities: tuple[Code, ...] = ()
    until: Day = ""
    surveillance_months: Count = 0
    grace_days: Count = 0
    evidence: tuple[Count, ...] = ()
    trainers: tuple[Id, ...] = ()
    examiners: tuple[Id, ...] = ()
    waiver: Count = 0


NO_PLACE = 0
"""Where a card of a grant is put that names a place outside the lists: nobody is given it."""


def _opened(value: Plain) -> Plain:
    value.pop("format", None)
    return value


def _placed(value: Plain) -> Plain:
    return {**value, "index": value.get("index", 0) if value.get("index", 0) < PLACES else NO_PLACE}


def _same(value: Plain) -> Plain:
    return value


BODIES_1: Mapping[str, type[SignedShape]] = {
    "open": OpenBody1,
    "scheme": SchemeAdoptedBody1,
    "person": PersonBody1,
    "key": KeyBody1,
    "evidence": EvidenceBody1,
    "observation": ObservationBody1,
    "paper": PaperBody1,
    "sitting": SittingBody1,
    "irregularity": IrregularityBody1,
    "interest": InterestBody1,
    "waiver": WaiverBody1,
    "decision": DecisionBody1,
    "appeal": AppealBody1,
    "void": VoidBody1,
    "certificate": CertificateBody1,
    "notice": NoticeBody1,
    "acknowledgement": AcknowledgementBody1,
    "erase": EraseBody1,
}
BODIES_2: Mapping[str, type[SignedShape]] = {**BODIES_1, "open": OpenBody2, "decision": DecisionBody2}
_UP_1 = {"open": _opened, "decision": _placed}
BODIES: Mapping[str, Format] = {
    kind: Format(
        name=f"entry-{kind}", title=f"an entry of kind {kind}", shapes={1: shape, 2: BODIES_2[kind]},
        upgrades={1: _UP_1.get(kind, _same)},
    )
    for kind, shape in BODIES_1.items()
}  # fmt: skip
"""Kind of entry -> its body by version; the version is that of the entry."""
ENTRY = Format(name="entry", title="an entry of the ledger", shapes={1: Signed1, 2: Signed2}, upgrades={1: _same})
