"""What strangers hold: the status list, the token of a card, the certificate.

The first two name their version as `v`. A certificate can carry no word of ours: its version is the list of contexts
that it names.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta, field

from warmyard.formats.entries import PLACES, Code, Day, Id, KeyId
from warmyard.formats.register import Format


class HandedOutShape(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A frozen shape."""


Place = Annotated[int, Meta(ge=0, lt=PLACES)]


class StatusList1(HandedOutShape, frozen=True, kw_only=True):
    v: Literal[1] = 1
    d: Day
    e: Day
    s: tuple[Place, ...]
    w: tuple[Place, ...]
    n: int
    x: str
    k: KeyId


class Token1(HandedOutShape, frozen=True, kw_only=True):
    v: Literal[1] = 1
    c: Id
    n: Annotated[str, Meta(min_length=1, max_length=200)]
    l: Annotated[int, Meta(ge=1, le=99)]  # noqa: E741 -- the short name of the token's form
    t: str
    a: tuple[Code, ...]
    f: Day
    u: Day
    i: Annotated[int, Meta(ge=0, le=131_071)]
    s: str
    k: KeyId


class Issuer1(HandedOutShape, frozen=True, kw_only=True):
    id: str
    type: list[str]
    name: str


class Identity1(HandedOutShape, frozen=True, kw_only=True):
    type: str
    hashed: bool
    identityHash: str  # noqa: N815 -- the standard's own name
    identityType: str  # noqa: N815


class Criteria1(HandedOutShape, frozen=True, kw_only=True):
    narrative: str


class Achievement1(HandedOutShape, frozen=True, kw_only=True):
    id: str
    type: list[str]
    achievementType: str  # noqa: N815
    name: str
    description: str
    version: str
    criteria: Criteria1
    tag: list[str]


class Subject1(HandedOutShape, frozen=True, kw_only=True):
    type: list[str]
    identifier: list[Identity1]
    licenseNumber: str  # noqa: N815
    narrative: str
    achievement: Achievement1


class CredentialEvidence1(HandedOutShape, frozen=True, kw_only=True):
    id: str
    type: list[str]
    name: str
    description: str


class Credential1(HandedOutShape, frozen=True, kw_only=True):
    context: list[str] = field(name="@context")
    id: str
    type: list[str]
    name: str
    issuer: Issuer1
    validFrom: str  # noqa: N815
    validUntil: str  # noqa: N815
    awardedDate: str  # noqa: N815
    credentialSubject: Subject1  # noqa: N815
    credentialStatus: list[dict[str, str]]  # noqa: N815
    evidence: list[CredentialEvidence1]
    proof: dict[str, Any]


CONTEXTS = {
    1: ["https://www.w3.org/ns/credentials/v2", "https://purl.imsglobal.org/spec/ob/v3p0/context-3.0.3.json"],
}
"""Version of a certificate -> the contexts that it names, in their order."""
STATUS_LIST = Format(name="status-list", title="a status list", shapes={1: StatusList1}, upgrades={})
TOKEN = Format(name="token", title="the token of a card", shapes={1: Token1}, upgrades={})
CERTIFICATE = Format(name="certificate", title="a certificate", shapes={1: Credential1}, upgrades={})
