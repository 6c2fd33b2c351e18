"""An entry: the signed bytes, and what they say.

A record, in the database and in its file, is one line of RFC 8785 JSON:
`{"entry":{...},"signature":"..."}`. The signature (Ed25519, base64url) is over the canonical bytes of the inner object:
body, effective_on, format, key, kind, number, person, previous, recorded_at. `previous` is the SHA-256 of the record
before, signature included, so that not one byte of an earlier record can change. `format` is "warmyard-entry-2" (the
entries of the first format have none); what is written has the newest format.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from functools import lru_cache
from typing import Any, TypeVar

import msgspec
from msgspec import UNSET, UnsetType

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.canonical import canonical_bytes, is_canonical, plain_problem
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.errors import InputError, VerificationError
from warmyard.formats.entries import ENTRY, Signed2
from warmyard.formats.register import NewerFormatError, verify_readable, version_in

T = TypeVar("T")
NOTHING_BEFORE = "0" * 64
LARGEST_RECORD_BYTES = 200_000
_START = b'{"entry":'
_MIDDLE = b',"signature":"'
_END = b'"}'
_SIGNATURE_CHARACTERS = 86
_TAIL = len(_MIDDLE) + _SIGNATURE_CHARACTERS + len(_END)
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}[+-][0-9]{2}:[0-9]{2}\Z")
_PERSON = re.compile(r"[a-z0-9-]{1,40}\Z")


class Entry(msgspec.Struct, frozen=True):
    """One entry of the ledger. `person` is "" where an entry is about nobody; `digest` is that of the whole record."""

    number: int
    previous: str
    recorded_at: datetime
    effective_on: date
    kind: str
    person: str
    key: str
    record: bytes
    digest: str
    format: int
    """Version of the format that it was written in."""

    @property
    def body(self) -> Mapping[str, Any]:
        """The body as it is written; read anew each time, since a ledger of many entries would keep it twice."""
        return msgspec.json.decode(self.signed, type=Signed2).body

    def body_as(self, kind: type[T]) -> T:
        """Return the body as a type has it; raise msgspec.ValidationError when it is not of that type."""
        body: T = _body_reader(kind).decode(self.signed).body
        return body

    @property
    def signed(self) -> bytes:
        """The canonical bytes that the signature is over."""
        return self.record[len(_START) : -_TAIL]

    @property
    def signature(self) -> bytes:
        """The signature; raise VerificationError when the record does not hold one in its one canonical form."""
        text = self.record[-_TAIL + len(_MIDDLE) : -len(_END)].decode("ascii", "replace")
        return envelope.decode_base64url(text)

    def counts_from(self, *, restricts: bool) -> date:
        """Return the day from which it counts: a restriction from the earlier of its dates, a grant from the later."""
        recorded_on = self.recorded_at.date()
        return min(recorded_on, self.effective_on) if restricts else max(recorded_on, self.effective_on)


_BODY_READERS: dict[type[Any], msgspec.json.Decoder[Any]] = {}


def _body_reader(kind: type[Any]) -> msgspec.json.Decoder[Any]:
    """Return what reads the body of a signed part as a type, and passes over the rest."""
    if kind not in _BODY_READERS:
        _BODY_READERS[kind] = msgspec.json.Decoder(msgspec.defstruct("Holding", [("body", kind)]))
    return _BODY_READERS[kind]


def make_entry(
    *,
    number: int,
    previous: str,
    recorded_at: datetime,
    effective_on: date,
    kind: str,
    person: str,
    body: Mapping[str, Any],
    signer: SigningKey,
) -> Entry:
    """Return a signed entry; raise InputError when a part of it cannot be signed."""
    if person and not _PERSON.match(person):
        raise InputError("a person id has 1 to 40 small letters, digits and dashes")
    signed = canonical_bytes(
        {
            "body": dict(body),
            "effective_on": effective_on.isoformat(),
            "format": ENTRY.label,
            "key": signer.id,
            "kind": kind,
            "number": number,
            "person": person,
            "previous": previous,
            "recorded_at": moment_text(recorded_at),
        }
    )
    signature = envelope.sign(signer, signed)
    record = _START + signed + _MIDDLE + envelope.encode_base64url(signature).encode("ascii") + _END
    if len(record) > LARGEST_RECORD_BYTES:
        raise InputError(f"the entry has {len(record)} bytes; keep it below {LARGEST_RECORD_BYTES}")
    return read_entry(record)


def read_entry(record: bytes) -> Entry:
    """Return the entry in a record, its signature not yet looked at; raise VerificationError when it is not whole."""
    if len(record) > LARGEST_RECORD_BYTES:
        raise VerificationError("form", "the record is too large")
    if not (record.startswith(_START) and record.endswith(_END) and record[-_TAIL:].startswith(_MIDDLE)):
        raise VerificationError("form", "the record is not an entry with its signature")
    signed = record[len(_START) : -_TAIL]
    try:
        parts = msgspec.json.decode(signed, type=Signed2)
        if not is_canonical(signed, parts):
            raise VerificationError("form", "the record is not in its canonical form")
        problem = plain_problem(parts.body) or _problem(parts)
        if problem:
            raise VerificationError("form", f"the record holds {problem}")
        return _entry(parts, record)
    except NewerFormatError:
        raise
    except _UNREADABLE:
        _verify_not_newer(signed)
        raise VerificationError("form", "the record cannot be read") from None


def read_again(record: bytes) -> Entry:
    """Return the entry in a record whose form was found good before; raise VerificationError when it is none at all."""
    try:
        return _entry(_HEAD.decode(record[len(_START) : -_TAIL]), record)
    except _UNREADABLE:
        raise VerificationError("form", "the record cannot be read") from None


class _Head(msgspec.Struct, frozen=True):
    """The signed part of an entry but for its body."""

    effective_on: str
    key: str
    kind: str
    number: int
    person: str
    previous: str
    recorded_at: str
    format: str | UnsetType = UNSET


_HEAD = msgspec.json.Decoder(_Head)
_UNREADABLE = (msgspec.MsgspecError, InputError, UnicodeError, ValueError, RecursionError)


def _entry(parts: Signed2 | _Head, record: bytes) -> Entry:
    return Entry(
        number=parts.number,
        previous=parts.previous,
        recorded_at=datetime.fromisoformat(parts.recorded_at),
        effective_on=date.fromisoformat(parts.effective_on),
        kind=parts.kind,
        person=parts.person,
        key=parts.key,
        record=record,
        digest=envelope.digest(record),
        format=_format_of(parts.format),
    )


class _Named(msgspec.Struct, frozen=True):
    """The name of a format alone, whatever else stands there."""

    format: str


def _verify_not_newer(signed: bytes) -> None:
    """Raise NewerFormatError when a record that cannot be read says that a newer tool wrote it."""
    try:
        version = version_in(ENTRY, msgspec.json.decode(signed, type=_Named).format)
    except (msgspec.MsgspecError, UnicodeError, RecursionError):
        return
    verify_readable(ENTRY, version or 1)


def _format_of(label: str | UnsetType) -> int:
    """Return the version that an entry names, 1 when it names none; raise when it is none, or newer than this tool."""
    if label is UNSET:
        return 1
    version = _version_named(label)
    if version is None or version == 1:
        raise VerificationError("form", "the record names a format that does not exist")
    verify_readable(ENTRY, version)
    return version


@lru_cache(maxsize=8)
def _version_named(label: str) -> int | None:
    return version_in(ENTRY, label)


def _problem(parts: Signed2) -> str:
    if not _DAY.match(parts.effective_on):
        return "a day not written as 2026-03-31"
    if not _MOMENT.match(parts.recorded_at):
        return "a time not written as 2026-03-31T10:15:00+00:00"
    return "" if not parts.person or _PERSON.match(parts.person) else "a person id of another shape"


def moment_text(moment: datetime) -> str:
    """Return a time as entries write it, to the second, with its offset."""
    return moment.isoformat(timespec="seconds")
