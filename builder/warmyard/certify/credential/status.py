"""Dated, signed status lists: which cards are suspended or withdrawn, without a name in them.

Three files come from one call, all of one moment:

status.js, for the verify page (a classic script, so that it also works from a stick):
    WY.status = "PAYLOAD.SIGNATURE";
PAYLOAD is base64url (no padding) of canonical JSON with exactly these fields:
    v  1
    d  day of issue (2026-03-31)
    e  last day on which it may be relied on; after it the page says "stale" and shows both days
    s  places of suspended cards, ascending      w  places of withdrawn cards, ascending
    n  number of the last ledger entry behind it, and  x  its witness digest (16 base32 characters in groups of four)
    k  id of the signing key
SIGNATURE is base64url of the Ed25519 signature over  "warmyard-status-1\\n" + the decoded payload bytes.
A card is looked up by the `i` of its token: in w -> withdrawn; else in s -> suspended; else neither.

suspension.json and revocation.json: the same as W3C Bitstring Status List v1.0 credentials (131,072 places, GZIP,
multibase base64url), with an eddsa-jcs-2022 proof, for readers of the certificate's JSON.
"""

from __future__ import annotations

import gzip
import zlib
from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta
from typing import Annotated, Any, Literal, TypeAlias

import msgspec
from msgspec import Meta

from warmyard.certify.credential.proof import did_key, with_proof
from warmyard.certify.credential.token import open_compact, sign_compact
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.errors import VerificationError
from warmyard.formats.entries import PLACES, Day, KeyId
from warmyard.formats.handed_out import STATUS_LIST
from warmyard.formats.register import bring_up
from warmyard.page.javascript import script_of

PURPOSE = b"warmyard-status-1\n"
LARGEST_LIST_CHARACTERS = 3_000_000
LARGEST_LIST_BYTES = 1_000_000
RELIED_ON_DAYS = 7
"""Set for the demo: how long a published list may be relied on."""
Purpose: TypeAlias = Literal["suspension", "revocation"]
Place = Annotated[int, Meta(ge=0, lt=PLACES)]


class StatusList(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The compact list, in short names as the page reads it."""

    v: Literal[1] = 1
    d: Day
    e: Day
    s: tuple[Place, ...]
    w: tuple[Place, ...]
    n: int
    x: str
    k: KeyId


def make_status_list(
    suspended: Iterable[int], withdrawn: Iterable[int], *, entry: int, witness: str, on: date, key: SigningKey
) -> str:
    """Return PAYLOAD.SIGNATURE of the compact list."""
    made = StatusList(
        d=on.isoformat(), e=(on + timedelta(days=RELIED_ON_DAYS)).isoformat(), s=tuple(sorted(set(suspended))),
        w=tuple(sorted(set(withdrawn))), n=entry, x=witness, k=key.id,
    )  # fmt: skip
    return sign_compact(msgspec.to_builtins(made), PURPOSE, key)


def status_script(compact: str) -> str:
    """Return status.js around a compact list."""
    return script_of(status=compact)


def list_in(script: str) -> str:
    """Return the compact list in a status.js, or nothing when there is none in it."""
    return script.partition('"')[2].partition('"')[0]


def _version(value: Mapping[str, object]) -> int:
    """Return the version that a list names as `v`; 0, which never was, when it names none."""
    version = value.get("v")
    return version if isinstance(version, int) else 0


def open_status_list(text: str, pinned: Mapping[str, bytes]) -> StatusList:
    """Return the list in PAYLOAD.SIGNATURE; raise VerificationError when no pinned key signed it."""
    value = open_compact(text, PURPOSE, pinned, LARGEST_LIST_CHARACTERS)
    try:
        return msgspec.convert(bring_up(STATUS_LIST, _version(value), value), StatusList, strict=True)
    except msgspec.ValidationError:
        raise VerificationError("form", "the status list has other fields than such a list's") from None


def status_of(index: int, found: StatusList, on: date) -> Literal["withdrawn", "suspended", "stale", "good"]:
    """Return what a list says about a place; a bad word is believed from a stale list too, a good one is not."""
    if index in found.w:
        return "withdrawn"
    if index in found.s:
        return "suspended"
    return "stale" if on > date.fromisoformat(found.e) or on < date.fromisoformat(found.d) else "good"


def encoded_bits(places: Iterable[int]) -> str:
    """Return a W3C encodedList: bit 0 leftmost, GZIP with no time in it, multibase base64url."""
    bits = bytearray(PLACES // 8)
    for place in places:
        bits[place >> 3] |= 0x80 >> (place & 7)
    return "u" + envelope.encode_base64url(gzip.compress(bytes(bits), mtime=0))


def bit_at(encoded: str, place: int) -> bool:
    """Say whether a place of a W3C encodedList is set; raise VerificationError when the list is not whole."""
    try:
        unpacker = zlib.decompressobj(wbits=31)
        packed = envelope.decode_base64url(encoded.removeprefix("u"), step="status list")
        bits = unpacker.decompress(packed, LARGEST_LIST_BYTES)
    except zlib.error:
        raise VerificationError("status list", "the list cannot be unpacked") from None
    if not unpacker.eof or unpacker.unused_data:
        raise VerificationError("status list", "the list does not end where it should")
    if not encoded.startswith("u") or len(bits) < PLACES // 8 or not 0 <= place < len(bits) * 8:
        raise VerificationError("status list", "the list is too short")
    return bool(bits[place >> 3] & (0x80 >> (place & 7)))


def status_address(verify_address: str, purpose: Purpose) -> str:
    """Return where the company publishes a W3C list: beside its verify page."""
    return f"{verify_address.rpartition('/')[0]}/{purpose}.json"


def status_credential(
    places: Iterable[int],
    purpose: Purpose,
    *,
    verify_address: str,
    now: datetime,
    key: SigningKey,
) -> dict[str, Any]:
    """Return a W3C Bitstring Status List credential with its proof."""
    address = status_address(verify_address, purpose)
    document = {
        "@context": ["https://www.w3.org/ns/credentials/v2"],
        "id": address,
        "type": ["VerifiableCredential", "BitstringStatusListCredential"],
        "issuer": did_key(key.public),
        "validFrom": now.isoformat(timespec="seconds"),
        "validUntil": (now + timedelta(days=RELIED_ON_DAYS)).isoformat(timespec="seconds"),
        "credentialSubject": {
            "id": f"{address}#list",
            "type": "BitstringStatusList",
            "statusPurpose": purpose,
            "encodedList": encoded_bits(places),
        },
    }
    return with_proof(document, key, now.isoformat(timespec="seconds"))
