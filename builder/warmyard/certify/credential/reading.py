"""What somebody holds in hand, read and verified: certificate, its JWT, the token of a card, a status list.

The company's keys are pinned by the caller; nothing that names another key is believed. What the dates and the list say
is told in one sentence; whatever does not hold is a VerificationError that names the step.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from warmyard.certify.credential.certificate import read_credential
from warmyard.certify.credential.proof import did_key, verify_proof
from warmyard.certify.credential.status import StatusList, list_in, open_status_list, status_of
from warmyard.certify.credential.token import Token, open_token
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.canonical import read_json
from warmyard.errors import VerificationError
from warmyard.formats.handed_out import Credential1
from warmyard.words.sentence import sentence

LARGEST_BYTES = 3_000_000


@dataclass(frozen=True, slots=True)
class Trust:
    """Whose keys are believed, on which day, and what is known of suspended and withdrawn cards."""

    pinned: Mapping[str, bytes]
    """Key id -> public half."""
    on: date
    status: StatusList | None
    """None when there is no list to look into."""


def read_handed_out(data: bytes, trust: Trust) -> str:
    """Return in one sentence what a file is and that it holds; raise VerificationError, naming the step, when not."""
    if len(data) > LARGEST_BYTES:
        raise VerificationError("form", "it is too large for anything that this office hands out")
    try:
        text = data.decode("utf-8").strip()
    except UnicodeDecodeError:
        raise VerificationError("form", "it is no text, and nothing that this office hands out") from None
    if text.startswith("{"):
        return _certificate(text, trust)
    if "WY.status" in text:
        found = open_status_list(list_in(text), trust.pinned)
        return _status_list(found, trust)
    compact = text.rpartition("#")[2]
    parts = compact.count(".")
    if parts == 2:
        return _jwt(compact, trust)
    if parts == 1:
        return _card(open_token(compact, trust.pinned), trust)
    raise VerificationError("form", "it is no certificate, no card and no status list")


def _certificate(text: str, trust: Trust) -> str:
    document = read_json(text.encode(), "form")
    credential = read_credential(document)
    verify_proof(document, _pinned_by(credential.issuer.id, trust))
    return _said(sentence("held.certificate"), credential, trust)


def _pinned_by(did: str, trust: Trust) -> bytes:
    for public in trust.pinned.values():
        if did_key(public) == did:
            return public
    raise VerificationError("issuer", "it is signed with a key that is not this company's")


def _jwt(compact: str, trust: Trust) -> str:
    head, body, signature = compact.split(".")
    header = _part(head)
    if header.get("alg") != "EdDSA":
        raise VerificationError("form", "the JWT is not signed with EdDSA")
    public = _pinned_by(str(header.get("kid", "")).partition("#")[0], trust)
    envelope.verify(public, f"{head}.{body}".encode("ascii"), envelope.decode_base64url(signature, step="form"))
    # Without a proof of its own: the signature of the JWT stands for it.
    return _said(sentence("held.certificate_jwt"), read_credential({**_part(body), "proof": {}}), trust)


def _part(text: str) -> dict[str, Any]:
    return read_json(envelope.decode_base64url(text, step="form"), "form")


def _said(what: str, credential: Credential1, trust: Trust) -> str:
    subject = credential.credentialSubject
    name = next((each.identityHash for each in subject.identifier if each.identityType == "name"), "somebody")
    places = [each for each in credential.credentialStatus if each.get("statusPurpose") == "suspension"]
    index = places[0].get("statusListIndex", "") if places else ""
    if not index.isdigit():
        raise VerificationError("form", "the certificate names no place in the status lists")
    of = sentence("held.certificate_of", what=what, name=name, level=credential.name, certificate=subject.licenseNumber)
    return _standing(of, credential.validFrom[:10], credential.validUntil[:10], int(index), trust)


def _card(token: Token, trust: Trust) -> str:
    what = sentence("held.card_of", name=token.n, level=token.l, level_name=token.t, certificate=token.c)
    return _standing(what, token.f, token.u, token.i, trust)


def _standing(what: str, begins: str, until: str, index: int, trust: Trust) -> str:
    """Return what holds on the day, in a sentence; raise when it does not."""
    try:
        first, last = date.fromisoformat(begins), date.fromisoformat(until)
    except ValueError:
        raise VerificationError("form", f"{what}: it names a day that is not in the calendar") from None
    if trust.on < first:
        raise VerificationError("dates", f"{what}: it begins on {first}")
    if trust.on > last:
        raise VerificationError("dates", f"{what}: it ended on {last}")
    if trust.status is None:
        return sentence("held.holds_without", what=what, until=last, why=sentence("held.no_list"))
    found = status_of(index, trust.status, trust.on)
    if found != "good":
        raise VerificationError("status", sentence(f"held.{found}", what=what))
    return sentence("held.holds", what=what, until=last, day=trust.status.d)


def _status_list(found: StatusList, trust: Trust) -> str:
    said = sentence("held.list_of", day=found.d, until=found.e)
    if not date.fromisoformat(found.d) <= trust.on <= date.fromisoformat(found.e):
        raise VerificationError("dates", f"{said}: it is not of these days")
    return sentence("held.list_says", list=said, suspended=len(found.s), withdrawn=len(found.w), entries=found.n)


def pins(publics: list[str]) -> dict[str, bytes]:
    """Return key id -> public half of base64url texts, as company.yaml has them."""
    found = [envelope.decode_base64url(text, step="issuer") for text in publics]
    return {envelope.key_id(public): public for public in found}
