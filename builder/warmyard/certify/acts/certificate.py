"""What the office hands out: certificate files, and status lists of the day."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from warmyard.certify.credential.certificate import (
    Holder,
    card_address,
    credential_jwt,
    decode_photograph,
    make_credential,
    print_certificate,
)
from warmyard.certify.credential.status import Purpose, make_status_list, status_credential, status_script
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Certificate
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.files import write_whole
from warmyard.certify.ledger.folders import CERTIFICATES, STATUS
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.people import known_person, names
from warmyard.certify.ledger.schemes import level_of
from warmyard.certify.ledger.side_files import read_side
from warmyard.certify.ledger.state import State
from warmyard.certify.ledger.witness import witness_text
from warmyard.certify.rules.judge import standing
from warmyard.certify.rules.standing import Standing, grants_of
from warmyard.course.model import Company
from warmyard.errors import InputError
from warmyard.page.verify_page import FILE_NAME as VERIFY_PAGE
from warmyard.page.verify_page import make_verify_page


@dataclass(frozen=True, slots=True)
class Given:
    """A certificate that was written."""

    entry: Entry
    credential: Path
    sheet: Path
    address: str
    card_until: date


def give_certificate(
    ledger: Ledger,
    state: State,
    *,
    person: str,
    level: int,
    company: Company,
    words: Mapping[str, str],
    now: datetime,
    signer: SigningKey,
) -> Given:
    """Write the certificate of the grant that holds today, as JSON and PDF, and enter that it was given out.

    Raises InputError, with the reason, when the person holds none of that level today or the key is not the office's.
    """
    known_person(state, person)
    if signer.id != state.office:
        raise InputError("certificates are signed with the office key, the one that verify pages pin")
    records = ledger.folder
    holder = _holder(records, state, person, level, company, words, now)
    certificate = holder.grant.body.certificate
    credential = make_credential(holder, state, signer)
    sheet = print_certificate(holder, state, signer)
    data = json.dumps(credential, ensure_ascii=False, indent=2).encode() + b"\n"
    body = Certificate(
        certificate=certificate, decision=holder.grant.entry.number,
        credential=envelope.digest(canonical_bytes(credential)),
    )  # fmt: skip
    entry, _ = ledger.append("certificate", person, body, now.date(), now, signer)
    base = CERTIFICATES.at(records) / certificate
    write_whole(base.with_name(f"{certificate}.json"), data)
    write_whole(base.with_name(f"{certificate}.pdf"), sheet)
    write_whole(base.with_name(f"{certificate}.jwt"), credential_jwt(credential, signer).encode() + b"\n")
    return Given(
        entry, base.with_name(f"{certificate}.json"), base.with_name(f"{certificate}.pdf"),
        card_address(holder, signer), holder.card_until,
    )  # fmt: skip


def _holder(
    records: Path,
    state: State,
    person: str,
    level: int,
    company: Company,
    words: Mapping[str, str],
    now: datetime,
) -> Holder:
    named = names(records, state)
    found = _holding(state, person, level, now.date(), named)
    scheme = state.schemes[found.grant.body.scheme]
    side = read_side(records, person, state.people[person].side)
    return Holder(
        name=named[person], photograph=decode_photograph(side.get("photograph")), standing=found, scheme=scheme,
        level=level_of(scheme, level), company=company, named=named, words=words, now=now,
    )  # fmt: skip


def _holding(state: State, person: str, level: int, on: date, named: Mapping[str, str]) -> Standing:
    found = [standing(state, grant, on, named) for grant in grants_of(state, person, level)]
    if not found:
        raise InputError(f"{person} holds no certificate of level {level}; `warmyard decide` comes first")
    good = [each for each in found if not each.why_not]
    if not good:
        raise InputError(f"no certificate of level {level} for {person} today: {found[-1].why_not}")
    return good[-1]


def publish_status(
    records: Path, state: State, company: Company, words: Mapping[str, str], now: datetime, signer: SigningKey
) -> list[Path]:
    """Write the status lists of the day, signed with the office key, and the verify page that pins it; return them."""
    if signer.id != state.office:
        raise InputError("status lists are signed with the office key, the one that verify pages pin")
    suspended, withdrawn = places(state, now.date())
    compact = make_status_list(
        suspended, withdrawn, entry=state.count, witness=witness_text(state.tip), on=now.date(), key=signer
    )
    folder = STATUS.at(records)
    written = [folder / "status.js"]
    write_whole(written[0], status_script(compact).encode())
    lists: tuple[tuple[Purpose, list[int]], ...] = (("suspension", suspended), ("revocation", withdrawn))
    for purpose, found in lists:
        document = status_credential(found, purpose, verify_address=company.verify_address, now=now, key=signer)
        written.append(folder / f"{purpose}.json")
        write_whole(written[-1], json.dumps(document, indent=2).encode() + b"\n")
    scheme = state.scheme_now()
    activities = {activity.id: activity.title for activity in scheme.activities} if scheme else {}
    written.append(folder / VERIFY_PAGE)
    write_whole(written[-1], make_verify_page(company, words, activities, office_keys(state)).encode())
    return written


def office_keys(state: State) -> list[str]:
    """Return the public halves that a verify page pins: the office key, and earlier ones that were not stolen."""
    return [
        envelope.encode_base64url(key.public)
        for key in state.keys.values()
        if key.use == "office" and not key.stolen_since
    ]


def places(state: State, on: date) -> tuple[list[int], list[int]]:
    """Return the places of suspended and of withdrawn certificates on a day.

    A grant without force (surveillance missed, stolen key, conflict) is shown as suspended; an expired or not yet begun
    one is not listed: the card says its days itself. An erased person's certificates are withdrawn.
    """
    suspended, withdrawn = [], []
    for grant in state.grants.values():
        found = standing(state, grant, on)
        if found.withdrawn is not None or state.people[grant.entry.person].erased:
            withdrawn.append(grant.body.index)
        elif found.why_not and found.begins_on <= on <= found.until:
            suspended.append(grant.body.index)
    return suspended, withdrawn
