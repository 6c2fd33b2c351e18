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
from warmyard.words import language_of, say

_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip
_LEVEL_NAME = "{level_name}"
"""Where the sheet sets the name of the level in bold."""


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
    words: Mapping[str, str]
    now: datetime

    def say(self, word: str, /, **parts: object) -> str:
        """Return a word of the group `certificate` with its parts put in."""
        return say(self.words, f"certificate.{word}", **parts)

    def day(self, day: date) -> str:
        """Return a day as the sheet writes it: `3 May 2027`."""
        month = say(self.words, f"month.{_MONTHS[day.month - 1]}")
        return self.say("day", day=day.day, month=month, year=day.year)

    @property
    def claim(self) -> str:
        """What the certificate claims to be, in the words of its scheme."""
        return self.scheme.claim or self.say("claim")

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
        "name": holder.say("level", level=level.level, name=level.name),
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
                "name": holder.say("evidence", kind=_kind(holder, state, number), entry=number),
                "description": holder.say("evidence_digest", digest=state.digests[number - 1]),
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


def _kind(holder: Holder, state: State, number: int) -> str:
    return say(holder.words, f"entry.{state.by_number[number].entry.kind}")


def _criteria(holder: Holder) -> str:
    parts = "; ".join(
        holder.say("cut_provisional" if part.cut.provisional else "cut", part=part.title, cut=f"{part.cut.percent:g}")
        for part in holder.level.parts
        if part.cut
    )
    scheme = holder.scheme
    return holder.say(
        "criteria", scheme=scheme.id, version=scheme.version, digest=holder.grant.body.scheme, parts=parts
    )


def roles_sentence(holder: Holder) -> str:
    """Return whether trainer, examiner and decider were three persons, and who they were."""
    body = holder.grant.body

    def people(ids: tuple[str, ...]) -> str:
        return ", ".join(holder.named.get(person, person) for person in ids) or holder.say("nobody")

    apart = not (set(body.trainers) & set(body.examiners)) and body.decider not in (*body.trainers, *body.examiners)
    return holder.say(
        "roles_apart" if apart else "roles_together", trainers=people(body.trainers), examiners=people(body.examiners),
        decider=people((body.decider,)),
    )  # fmt: skip


def waiver_sentence(holder: Holder, state: State) -> str:
    """Return the waiver that the decision needed, or nothing."""
    number = holder.grant.body.waiver
    if not number:
        return ""
    waiver = state.by_number[number].body
    second = holder.named.get(waiver.countersign.person, holder.say("second_person"))
    whose = "both" if waiver.conflicts and waiver.observers else "decider" if waiver.conflicts else "observer"
    return holder.say(f"waiver_{whose}", name=second, entry=number)


def narrative(holder: Holder, state: State) -> str:
    """Return what the credential says in words: claim, dates, surveillance, persons, waiver, witness digest."""
    standing = holder.standing
    sentences = [
        f"{holder.claim.rstrip('.')}.",
        holder.say("activities", activities="; ".join(holder.activities)),
        holder.say("dates", until=standing.until, surveillance=standing.surveillance_on),
        roles_sentence(holder),
        waiver_sentence(holder, state),
        holder.say("ledger", entries=state.count, witness=witness_text(state.tip)),
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
    level, certificate, address = holder.level, holder.grant.body.certificate, card_address(holder, key)
    begins, until, phone = (
        holder.day(holder.standing.begins_on), holder.day(holder.standing.until), holder.company.office_phone
    )  # fmt: skip
    language = language_of(holder.words)
    data: dict[str, Any] = {
        "lang": language.primary,
        "region": language.region,
        "direction": language.direction,
        "title": holder.say("title", certificate=certificate),
        "heading": holder.say("heading"),
        "company": holder.company.name,
        "number": holder.say("number", certificate=certificate),
        "claim": holder.claim,
        "name": holder.name,
        "may": holder.say("may", begins=begins, until=until, level=level.level, level_name=_LEVEL_NAME),
        "level_name": level.name,
        "scope": " ".join(level.scope.split()),
        "activities": holder.activities,
        "dates_head": holder.say("dates_head"),
        "rows": _rows(holder, state, key),
        "roles_head": holder.say("roles_head"),
        "roles": roles_sentence(holder),
        "waiver": waiver_sentence(holder, state),
        "check_head": holder.say("check_head"),
        "phone": phone,
        "check": holder.say("check", phone=phone),
        "cautions": say(holder.words, "shell.cautions"),
        "fold": holder.say("fold"),
        "photograph_none": holder.say("photograph_none"),
        "card_level": holder.say("level", level=level.level, name=level.name),
        "card_from": holder.say("card_from", begins=begins),
        "card_until_says": holder.say("card_until"),
        "card_until": holder.day(holder.card_until),
        "card_may": holder.say("card_may"),
        "card_check": holder.say("card_check", phone=phone, certificate=certificate),
        "qr": qr_svg(address),
        "qr_alt": holder.say("code"),
    }
    if holder.photograph:
        data["photograph"] = list(holder.photograph)
        data["photograph_alt"] = holder.say("photograph", name=holder.name)
    return print_sheet("certificate", data, holder.now)


def _rows(holder: Holder, state: State, key: SigningKey) -> list[tuple[str, str]]:
    """Return the dates and digests of the sheet, each with what it is called."""
    scheme, grant, standing = holder.scheme, holder.grant, holder.standing
    decided_on, printed_on = holder.day(grant.entry.recorded_at.date()), holder.day(holder.now.date())
    witness = witness_text(state.tip)
    return [
        (holder.say("scheme"), holder.say("scheme_is", title=scheme.title, scheme=scheme.id, version=scheme.version)),
        (holder.say("digest"), envelope.grouped(grant.body.scheme[:32])),
        (holder.say("ends"), holder.day(standing.until)),
        (holder.say("surveillance"), holder.day(standing.surveillance_on)),
        (holder.say("decided"), holder.say("decided_on", day=decided_on, entry=grant.entry.number)),
        (holder.say("printed"), holder.say("printed_on", day=printed_on, entries=state.count, witness=witness)),
        (holder.say("key"), envelope.grouped(key.id)),
    ]


def decode_photograph(text: object) -> bytes:
    """Return the photograph of a side file, or nothing."""
    try:
        return base64.b64decode(text, validate=True) if isinstance(text, str) else b""
    except binascii.Error:
        return b""
