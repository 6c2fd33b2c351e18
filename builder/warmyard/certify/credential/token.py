"""The compact token of a printed card: what its QR code carries after the # of the company's verify address.

Form, for whoever reads it in a page:
    https://company.example/verify.html#PAYLOAD.SIGNATURE
PAYLOAD is base64url (no padding) of canonical JSON with exactly these fields:
    v  1
    c  certificate id
    n  name of the person
    l  level, a number          t  the level's name
    a  ids of the activities that may be done alone
    f  first day (2026-03-31)   u  last day of the card: the earlier of expiry and next surveillance, both included
    i  place in the status lists, 0 to 131071
    s  scheme id and version, "scheme-id 1.0"
    k  id of the signing key: the first 20 hex characters of the SHA-256 of its 32 public bytes
SIGNATURE is base64url of the 64-byte Ed25519 signature over  "warmyard-token-1\\n" + the decoded payload bytes.
The page pins the office's public keys; a token whose k is not pinned is refused before anything of it is shown,
and one whose signature does not hold is not shown either. The fragment never reaches a server.
The clock of the reading machine decides between valid, not yet valid and past its last day, and is shown.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.canonical import canonical_bytes, read_json
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.errors import VerificationError
from warmyard.formats.entries import Code, Day, Id, KeyId
from warmyard.formats.handed_out import TOKEN
from warmyard.formats.register import bring_up

PURPOSE = b"warmyard-token-1\n"
LARGEST_TOKEN_CHARACTERS = 4_000


class Token(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the card says, in short names for a small QR code."""

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


def sign_compact(value: Mapping[str, object], purpose: bytes, key: SigningKey) -> str:
    """Return PAYLOAD.SIGNATURE over a plain value, for one purpose."""
    payload = canonical_bytes(dict(value))
    signature = envelope.sign(key, purpose + payload)
    return f"{envelope.encode_base64url(payload)}.{envelope.encode_base64url(signature)}"


def open_compact(text: str, purpose: bytes, pinned: Mapping[str, bytes], largest: int) -> dict[str, object]:
    """Return the value in PAYLOAD.SIGNATURE; raise VerificationError unless a pinned key (id -> public) signed it."""
    if len(text) > largest or text.count(".") != 1:
        raise VerificationError("form", "it is not a payload with its signature")
    left, right = text.split(".")
    payload = envelope.decode_base64url(left, step="form")
    signature = envelope.decode_base64url(right, step="form")
    value = read_json(payload, "form", largest_bytes=largest)
    public = pinned.get(str(value.get("k", "")))
    if public is None:
        raise VerificationError("issuer", "it is signed with a key that is not this company's")
    envelope.verify(public, purpose + payload, signature)
    if canonical_bytes(value) != payload:
        raise VerificationError("form", "it is not in its canonical form")
    return value


def make_token(token: Token, key: SigningKey) -> str:
    """Return the text of a token."""
    return sign_compact(msgspec.to_builtins(token), PURPOSE, key)


def open_token(text: str, pinned: Mapping[str, bytes]) -> Token:
    """Return the token in a text; raise VerificationError, naming the step, when it is not one of a pinned key."""
    value = open_compact(text, PURPOSE, pinned, LARGEST_TOKEN_CHARACTERS)
    try:
        version = value.get("v")
        plain = bring_up(TOKEN, version if isinstance(version, int) else 0, value)
        return msgspec.convert(plain, Token, strict=True)
    except msgspec.ValidationError:
        raise VerificationError("form", "the token has other fields than a card's") from None
