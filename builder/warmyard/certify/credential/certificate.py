"""A certificate: W3C Verifiable Credential 2.0 as JSON, shaped as Open Badges 3.0, and the sheet with the gate card.

The credential says nothing that its standard words cannot carry, so that no reader refuses an unknown term: what is
particular to the scheme stands in its narratives. It is not claimed to conform to the Open Badges test suite, which
asks for another proof suite. The printed card runs to the earlier of expiry and next surveillance.
"""

from __future__ import annotations

import base64
import binascii
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

import msgspec

from warmyard.certify.credential.proof import did_key, verification_method, with_proof
from warmyard.certify.credential.status import status_address
from warmyard.certify.credential.token import Token, make_token
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Decision
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.state import Fact, State
from warmyard.certify.ledger.witness import witness_text
from warmyard.certify.rules.standing import Standing
from warmyard.course.model import Company
from warmyard.course.scheme_model import Level, Scheme
from warmyard.errors import VerificationError
from warmyard.formats.handed_out import CERTIFICATE, CONTEXTS, Credential1
from warmyard.formats.register import Plain, bring_up
from warmyard.page.print import print_sheet, qr_svg

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
CLAIM = "company authorisation; not accredited certification"


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Who holds a certificate, and everything else that it shows."""

    name: str
    photograph: bytes
    """JPEG or PNG; empty when there is none."""
    standing: Standing
    scheme: Scheme
    level: Level
    company: Company
    named: Mapping[str, str]
    cautions: str
    now: datetime

    @property
    def grant(self) -> Fact[Decision]:
        """The decision that it rests on."""
        return self.standing.grant

    @property
    def activities(self) -> list[str]:
        """Titles of what may be done alone, as granted."""
        titles = {activity.id: activity.title for activity in self.scheme.activities}
        return [titles.get(name, name) for name in self.grant.body.activities]

    @property
    def card_until(self) -> date:
        """The last day of the card: the earlier of expiry and next surveillance."""
        return min(self.standing.until, self.standing.surveillance_on)


def make_credential(holder: Holder, state: State, key: SigningKey) -> dict[str, Any]:
    """Return the credential with its eddsa-jcs-2022 proof, made with the office key."""
    grant, scheme, level = holder.grant.body, holder.scheme, holder.level
    address = holder.company.verify_address
    document = {
        "@context": CONTEXTS[CERTIFICATE.version],
        "id": _urn(address, grant.certificate),
        "type": ["VerifiableCredential", "OpenBadgeCredential"],
        "name": f"Level {level.level}, {level.name}",
        "issuer": {"id": did_key(key.public), "type": ["Profile"], "name": holder.company.name},
        "validFrom": _moment(holder.standing.begins_on, time(0, 0), holder.now),
        "validUntil": _moment(holder.card_until, time(23, 59, 59), holder.now),
        "awardedDate": _moment(holder.grant.entry.recorded_at.date(), time(0, 0), holder.now),
        "credentialSubject": {
            "type": ["AchievementSubject"],
            "identifier": [
                _identity(holder.name, "name"),
                _identity(holder.grant.entry.person, "systemId"),
            ],
            "licenseNumber": grant.certificate,
            "narrative": narrative(holder, state),
            "achievement": {
                "id": _urn(address, f"{grant.scheme}/{level.level}"),
                "type": ["Achievement"],
                "achievementType": "Certification",
                "name": level.name,
                "description": " ".join(level.scope.split()),
                "version": scheme.version,
                "criteria": {"narrative": _criteria(holder)},
                "tag": list(grant.activities) or [level.name],
            },
        },
        "credentialStatus": [_status(address, purpose, grant.index) for purpose in ("revocation", "suspension")],
        "evidence": [
            {
                "id": _urn(address, f"entry/{number}/{state.digests[number - 1]}"),
                "type": ["Evidence"],
                "name": f"{state.by_number[number].entry.kind}, entry {number}",
                "description": f"SHA-256 of the ledger record: {state.digests[number - 1]}",
            }
            for number in (*grant.evidence, holder.grant.entry.number)
        ],
    }
    return with_proof(document, key, holder.now.isoformat(timespec="seconds"))


def read_credential(value: object) -> Credential1:
    """Return a certificate as its file holds it, whatever version it is of; raise VerificationError when it is none.

    Its proof is not looked at: whoever must believe it verifies that too.
    """
    contexts = value.get("@context") if isinstance(value, dict) else None
    version = next((version for version, named in CONTEXTS.items() if named == contexts), 0)
    try:
        plain: Plain = bring_up(CERTIFICATE, version, value)
        return msgspec.convert(plain, Credential1, strict=True)
    except msgspec.ValidationError as problem:
        raise VerificationError("form", f"the file is no certificate ({problem})") from None


def credential_jwt(credential: Mapping[str, Any], key: SigningKey) -> str:
    """Return the same credential as a JWT signed with EdDSA (W3C VC-JOSE-COSE, `vc+jwt`), for readers of that form."""
    header = {"alg": "EdDSA", "cty": "vc", "kid": verification_method(key.public), "typ": "vc+jwt"}
    payload = {name: value for name, value in credential.items() if name != "proof"}
    parts = [envelope.encode_base64url(canonical_bytes(part)) for part in (header, payload)]
    signed = ".".join(parts)
    return f"{signed}.{envelope.encode_base64url(envelope.sign(key, signed.encode('ascii')))}"


def _identity(value: str, kind: str) -> dict[str, Any]:
    return {"type": "IdentityObject", "hashed": False, "identityHash": value, "identityType": kind}


def _status(address: str, purpose: Any, index: int) -> dict[str, str]:
    where = status_address(address, purpose)
    return {
        "id": f"{where}#{index}",
        "type": "BitstringStatusListEntry",
        "statusPurpose": purpose,
        "statusListIndex": str(index),
        "statusListCredential": where,
    }


def _urn(address: str, name: str) -> str:
    return uuid.uuid5(uuid.NAMESPACE_URL, f"{address}#{name}").urn


def _moment(day: date, at: time, now: datetime) -> str:
    return datetime.combine(day, at, now.tzinfo).isoformat(timespec="seconds")


def _criteria(holder: Holder) -> str:
    parts = "; ".join(
        f"{part.title}: cut {part.cut.percent:g} %{', provisional' if part.cut.provisional else ''}"
        for part in holder.level.parts
        if part.cut
    )
    return f"Scheme {holder.scheme.id} {holder.scheme.version}, SHA-256 {holder.grant.body.scheme}. {parts}."


def roles_sentence(holder: Holder) -> str:
    """Return whether trainer, examiner and decider were three persons, and who they were."""
    body = holder.grant.body

    def people(ids: tuple[str, ...]) -> str:
        return ", ".join(holder.named.get(person, person) for person in ids) or "nobody recorded"

    apart = not (set(body.trainers) & set(body.examiners)) and body.decider not in (*body.trainers, *body.examiners)
    who = (
        f"trained or vouched for by {people(body.trainers)}; examined by {people(body.examiners)}; "
        f"decided by {people((body.decider,))}"
    )
    said = "were different persons" if apart else "were NOT all different persons"
    return f"Trainer, examiner and decider {said}: {who}."


def waiver_sentence(holder: Holder, state: State) -> str:
    """Return the waiver that the decision needed, or nothing."""
    number = holder.grant.body.waiver
    if not number:
        return ""
    waiver = state.by_number[number].body
    second = holder.named.get(waiver.countersign.person, "a second person")
    whose = (["the decider"] if waiver.conflicts else []) + (["an observer"] if waiver.observers else [])
    return (
        f"A conflict of interest of {' and of '.join(whose)} was accepted in writing and countersigned by {second} "
        f"(entry {number})."
    )


def narrative(holder: Holder, state: State) -> str:
    """Return what the credential says in words: claim, dates, surveillance, persons, waiver, witness digest."""
    claim = holder.scheme.claim.rstrip(".") or CLAIM
    sentences = [
        f"{claim}.",
        f"May do alone: {'; '.join(holder.activities)}.",
        f"The certificate ends on {holder.standing.until}; next surveillance by {holder.standing.surveillance_on}.",
        roles_sentence(holder),
        waiver_sentence(holder, state),
        f"Ledger: {state.count} entries, witness digest {witness_text(state.tip)}.",
    ]
    return " ".join(sentence for sentence in sentences if sentence)


def card_address(holder: Holder, key: SigningKey) -> str:
    """Return what the QR code carries: the company's verify address with the signed token after the #."""
    body = holder.grant.body
    token = Token(
        c=body.certificate, n=holder.name, l=body.level, t=holder.level.name, a=body.activities,
        f=holder.standing.begins_on.isoformat(), u=holder.card_until.isoformat(), i=body.index,
        s=f"{holder.scheme.id} {holder.scheme.version}", k=key.id,
    )  # fmt: skip
    return f"{holder.company.verify_address}#{make_token(token, key)}"


def print_certificate(holder: Holder, state: State, key: SigningKey) -> bytes:
    """Return the sheet with its gate card as PDF."""
    standing, level, scheme = holder.standing, holder.level, holder.scheme
    address = card_address(holder, key)
    data: dict[str, Any] = {
        "title": f"Certificate of authorisation {holder.grant.body.certificate}",
        "company": holder.company.name,
        "certificate": holder.grant.body.certificate,
        "claim": holder.scheme.claim or CLAIM,
        "name": holder.name,
        "begins": _day(standing.begins_on),
        "until": _day(standing.until),
        "card_until": _day(holder.card_until),
        "level": level.level,
        "level_name": level.name,
        "scope": " ".join(level.scope.split()),
        "activities": holder.activities,
        "rows": [
            ["Scheme", f"{scheme.title}, {scheme.id} version {scheme.version}"],
            ["Scheme digest (SHA-256)", envelope.grouped(holder.grant.body.scheme[:32])],
            ["Certificate ends", _day(standing.until)],
            ["Next surveillance by", _day(standing.surveillance_on)],
            ["Decided on", f"{_day(holder.grant.entry.recorded_at.date())}, ledger entry {holder.grant.entry.number}"],
            ["Printed on", f"{_day(holder.now.date())}, ledger of {state.count} entries, "
             f"witness digest {witness_text(state.tip)}"],
            ["Company key", envelope.grouped(key.id)],
        ],
        "roles": roles_sentence(holder),
        "waiver": waiver_sentence(holder, state),
        "check": (
            "Scan the code on the card with a phone, or ask the company for its verify page on a stick. The page shows "
            "name, level and last day, compares the key with the one printed here, and says whether the card is "
            f"suspended or withdrawn. Without it, telephone {holder.company.office_phone}."
        ),
        "card_check": f"Scan, or telephone {holder.company.office_phone}. {holder.grant.body.certificate}",
        "cautions": holder.cautions,
        "qr": qr_svg(address),
        "qr_alt": "QR code with the address of the verify page and this card's signed token",
    }  # fmt: skip
    if holder.photograph:
        data["photograph"] = list(holder.photograph)
        data["photograph_alt"] = f"Photograph of {holder.name}"
    return print_sheet("certificate", data, holder.now)


def _day(day: date) -> str:
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def decode_photograph(text: object) -> bytes:
    """Return the photograph of a side file, or nothing."""
    try:
        return base64.b64decode(text, validate=True) if isinstance(text, str) else b""
    except binascii.Error:
        return b""
