"""Certificates: verified by strangers, printed as they are, and status lists of the day."""

from __future__ import annotations

import hashlib
import json
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import base58
import jcs
import jwt
import nacl.exceptions
import nacl.signing
import pypdf
import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from demo_records import Demo
from hypothesis import given
from hypothesis import strategies as st

from warmyard.certify.acts.certificate import Given, give_certificate, office_keys, places, publish_status
from warmyard.certify.acts.decision import decide
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.key import KeyFile, enter_key
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.credential.proof import did_key, verify_proof
from warmyard.certify.credential.status import bit_at, encoded_bits, open_status_list, status_of
from warmyard.certify.credential.token import open_token
from warmyard.certify.ledger import envelope
from warmyard.certify.rules.asking import Action
from warmyard.certify.rules.standing import grants_of
from warmyard.cli.main import main
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError, VerificationError
from warmyard.formats.entries import PLACES


def give(demo: Demo, workspace: Workspace, person: str = "asta", minutes: int = 5) -> Given:
    """Write a certificate."""
    ledger, state = demo.open()
    return give_certificate(
        ledger, state, person=person, level=2, company=workspace.company, words={"shell.cautions": "Mind the plate."},
        now=demo.made + timedelta(minutes=minutes), signer=demo.key("office"),
    )  # fmt: skip


def text_of(path: Path) -> str:
    """Return the text of a PDF as a reader's program hears it."""
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(path.read_bytes())).pages)


def trusted_by_others(document: dict[str, Any], public: bytes) -> bool:
    """Say whether PyNaCl and jcs trust the document's proof with a known key, by the standard's own steps."""
    proof = dict(document["proof"])
    value = base58.b58decode(proof.pop("proofValue")[1:])
    plain = {name: inner for name, inner in document.items() if name != "proof"}
    hashed = hashlib.sha256(jcs.canonicalize(proof)).digest() + hashlib.sha256(jcs.canonicalize(plain)).digest()
    try:
        nacl.signing.VerifyKey(public).verify(hashed, value)
    except nacl.exceptions.BadSignatureError:
        return False
    return True


def test_a_stranger_verifies_the_certificate(demo: Demo, small_workspace: Workspace) -> None:
    """PyNaCl and jcs verify the JSON with the office's key; every change of a letter or figure in it is false."""
    given_out = give(demo, small_workspace)
    raw = given_out.credential.read_text("utf-8")
    office = demo.key("office").public
    document = json.loads(raw)
    verify_proof(document, office)
    assert trusted_by_others(document, office)
    changed = 0
    for at in range(0, len(raw), 29):
        if raw[at].isalnum():
            try:
                other = json.loads(raw[:at] + ("z" if raw[at] != "z" else "y") + raw[at + 1 :])
            except ValueError:
                continue
            with pytest.raises(VerificationError):
                verify_proof(other, office)
            changed += 1
    assert changed > 50


def test_a_stranger_reads_the_certificate_as_jwt(demo: Demo, small_workspace: Workspace) -> None:
    """PyJWT verifies the JWT form with the office's key, and its claims are the credential without its proof."""
    given_out = give(demo, small_workspace)
    text = given_out.credential.with_suffix(".jwt").read_text("ascii").strip()
    document = json.loads(given_out.credential.read_text("utf-8"))
    document.pop("proof")
    public = Ed25519PublicKey.from_public_bytes(demo.key("office").public)
    assert jwt.decode(text, public, algorithms=["EdDSA"]) == document
    assert jwt.get_unverified_header(text)["typ"] == "vc+jwt"
    head, claims, signature = text.split(".")
    other = Ed25519PublicKey.from_public_bytes(envelope.new_key().public)
    for wrong, key in ((f"{head}.{claims[:-2]}.{signature}", public), (text, other)):
        with pytest.raises(jwt.InvalidTokenError):
            jwt.decode(wrong, key, algorithms=["EdDSA"])


def test_the_command_writes_the_jwt_where_it_is_wanted(
    demo: Demo, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`certificate --jwt FILE` gives a JWT that PyJWT trusts; unsigned, or with a shared key, it does not."""
    out = tmp_path / "asta.jwt"
    records = ["--records", str(demo.records)]
    before = demo.open()[1].count
    assert main(["certificate", "asta", "2", "--jwt", "/no/such/folder/x.jwt", *records]) == 2
    assert demo.open()[1].count == before
    assert main(["certificate", "asta", "2", "--jwt", str(out), *records]) == 0
    assert str(out) in capsys.readouterr().out
    text = out.read_text("ascii").strip()
    public = Ed25519PublicKey.from_public_bytes(demo.key("office").public)
    claims = jwt.decode(text, public, algorithms=["EdDSA"])
    # VC-JOSE-COSE: the claims are the credential itself, no `vc` claim around it.
    assert claims["type"] == ["VerifiableCredential", "OpenBadgeCredential"]
    assert "vc" not in claims
    unsigned = jwt.encode(claims, "", algorithm="none")
    shared = jwt.encode(claims, demo.key("office").public, algorithm="HS256")
    for forged in (unsigned, shared):
        with pytest.raises(jwt.InvalidTokenError):
            jwt.decode(forged, public, algorithms=["EdDSA"])


def test_the_certificate_says_what_a_certificate_must(demo: Demo, small_workspace: Workspace) -> None:
    """Shape of Open Badges 3.0, the claim, dates, persons, status entries, evidence; no null, no empty list."""
    document = json.loads(give(demo, small_workspace).credential.read_text("utf-8"))
    _, state = demo.open()
    grant = next(grants_of(state, "asta"))
    assert document["@context"] == [
        "https://www.w3.org/ns/credentials/v2",
        "https://purl.imsglobal.org/spec/ob/v3p0/context-3.0.3.json",
    ]
    assert document["type"] == ["VerifiableCredential", "OpenBadgeCredential"]
    assert document["issuer"]["id"] == did_key(demo.key("office").public)
    subject = document["credentialSubject"]
    assert {"id", "type", "name", "description", "criteria"} <= subject["achievement"].keys()
    assert subject["licenseNumber"] == grant.body.certificate
    assert "ompany authorisation; not accredited certification" in subject["narrative"]
    assert "Trainer, examiner and decider were different persons" in subject["narrative"]
    assert [status["statusPurpose"] for status in document["credentialStatus"]] == ["revocation", "suspension"]
    assert len(document["evidence"]) == len(grant.body.evidence) + 1

    def walk(value: object) -> None:
        assert value is not None
        assert value not in ([], {}, "")
        for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
            walk(inner)

    walk(document)


def test_the_sheet_is_a_tagged_pdf_and_the_same_bytes_twice(demo: Demo, small_workspace: Workspace) -> None:
    """The printed certificate declares PDF/UA-1, has a language and a title, and comes out the same again."""
    given_out = give(demo, small_workspace)
    raw = given_out.sheet.read_bytes()
    reader = pypdf.PdfReader(BytesIO(raw))
    root: Any = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert len(reader.pages) == 1
    assert root["/Lang"] == "en-GB"
    assert b"pdfuaid" in reader.xmp_metadata.stream.get_data() if reader.xmp_metadata else False
    text = text_of(given_out.sheet)
    level = small_workspace.scheme.levels[0].name
    for said in ("Asta Fellweather", level, "not accredited certification", "Mind the plate."):
        assert said in text


def test_a_name_is_printed_and_never_read_as_markup(demo: Demo, small_workspace: Workspace) -> None:
    """A name that holds typst code prints as itself; nothing of the machine's files appears."""
    name = '#read("/etc/passwd") *x* $y$ <b>'
    enter_person(demo.desk(), PersonFile(person="asta", name=name))
    text = " ".join(text_of(give(demo, small_workspace).sheet).split())
    assert name in text
    assert "root:" not in text


def test_the_card_runs_to_the_next_surveillance(demo: Demo, small_workspace: Workspace) -> None:
    """The token on the card opens with the office's key, and ends with the next surveillance, before expiry."""
    given_out = give(demo, small_workspace)
    office = demo.key("office")
    address, _, text = given_out.address.partition("#")
    assert address == small_workspace.company.verify_address
    token = open_token(text, {office.id: office.public})
    _, state = demo.open()
    grant = next(grants_of(state, "asta"))
    assert (token.n, token.c, token.i) == ("Asta Fellweather", grant.body.certificate, grant.body.index)
    assert token.u == given_out.card_until.isoformat() < grant.body.until


@pytest.mark.parametrize("change", ["name", "last day", "signature", "cut", "another key", "two dots", "long", "empty"])
def test_a_changed_token_is_refused(demo: Demo, small_workspace: Workspace, change: str) -> None:
    """A card whose token was changed, or signed with another key, is refused before anything of it is shown."""
    office = demo.key("office")
    text = give(demo, small_workspace).address.partition("#")[2]
    payload, _, signature = text.partition(".")
    plain = envelope.decode_base64url(payload)
    forged = {
        "name": envelope.encode_base64url(plain.replace(b"Asta", b"Anna")) + "." + signature,
        "last day": envelope.encode_base64url(plain.replace(b'"u":"20', b'"u":"30')) + "." + signature,
        "signature": payload + "." + ("A" if signature[0] != "A" else "B") + signature[1:],
        "cut": text[:-1],
        "another key": text,
        "two dots": text + ".x",
        "long": text + "A" * 9000,
        "empty": "",
    }[change]
    pinned = {} if change == "another key" else {office.id: office.public}
    with pytest.raises(VerificationError):
        open_token(forged, pinned)


def restrict(demo: Demo, person: str, action: Action, because: str) -> None:
    """Decide about somebody today."""
    ledger, state = demo.open()
    decide(
        ledger, state, person=person, level=2, action=action, by="ines", because=because, on=demo.made.date(),
        now=demo.made + timedelta(minutes=1), signer=demo.key("ines"),
    )  # fmt: skip


def test_status_lists_say_who_is_suspended_and_withdrawn(demo: Demo, small_workspace: Workspace) -> None:
    """Suspended and withdrawn places are in the compact list and in the W3C lists, and nobody else's; no name is."""
    restrict(demo, "asta", "withdraw", "own-wish")
    _, state = demo.open()
    index = {grant.entry.person: grant.body.index for grant in state.grants.values()}
    suspended, withdrawn = places(state, demo.made.date())
    # Without force for another reason is shown as suspended: surveillance, notice, stolen key.
    assert set(suspended) == {index[person] for person in ("cleo", "greta", "jory", "nadia")}
    assert set(withdrawn) == {index["asta"], index["finn"]}
    office = demo.key("office")
    written = publish_status(
        demo.records, state, small_workspace.company, small_workspace.words, demo.made, office
    )  # fmt: skip
    script = written[0].read_text("utf-8")
    found = open_status_list(script.split('"')[1], {office.id: office.public})
    assert (set(found.s), set(found.w)) == (set(suspended), set(withdrawn))
    for path, listed in ((written[1], suspended), (written[2], withdrawn)):
        document = json.loads(path.read_text("utf-8"))
        assert trusted_by_others(document, office.public)
        bits = document["credentialSubject"]["encodedList"]
        assert {at for at in index.values() if bit_at(bits, at)} == set(listed)
        assert "Fellweather" not in path.read_text("utf-8")
    page = written[3].read_text("utf-8")
    assert envelope.encode_base64url(office.public) in page


def test_a_list_is_believed_for_its_days_only(demo: Demo, small_workspace: Workspace) -> None:
    """After its last day a list says stale, except for what it calls suspended or withdrawn."""
    _, state = demo.open()
    office = demo.key("office")
    script = publish_status(demo.records, state, small_workspace.company, small_workspace.words, demo.made, office)[0]
    found = open_status_list(script.read_text("utf-8").split('"')[1], {office.id: office.public})
    today = demo.made.date()
    index = {grant.entry.person: grant.body.index for grant in state.grants.values()}
    assert status_of(index["asta"], found, today) == "good"
    assert status_of(index["asta"], found, today + timedelta(days=7)) == "good"
    assert status_of(index["asta"], found, today + timedelta(days=8)) == "stale"
    assert status_of(index["cleo"], found, today + timedelta(days=80)) == "suspended"


@given(st.sets(st.integers(0, PLACES - 1), max_size=20), st.integers(0, PLACES - 1))
def test_bits_come_back(found: set[int], other: int) -> None:
    """A W3C encodedList holds exactly the places that were put in."""
    bits = encoded_bits(found)
    assert bits.startswith("u")
    assert all(bit_at(bits, place) for place in found)
    assert bit_at(bits, other) == (other in found)


def test_only_a_grant_that_holds_becomes_a_certificate(demo: Demo, small_workspace: Workspace) -> None:
    """Expired, suspended and undecided people get no certificate, each with the reason; nor does another key sign."""
    for person, reason in {"bram": "expired", "cleo": "suspended", "dane": "holds no certificate"}.items():
        with pytest.raises(InputError, match=reason):
            give(demo, small_workspace, person)
    ledger, state = demo.open()
    with pytest.raises(InputError, match="office key"):
        give_certificate(
            ledger, state, person="asta", level=2, company=small_workspace.company, words={},
            now=demo.made + timedelta(minutes=9), signer=demo.key("ines"),
        )  # fmt: skip
    assert demo.open()[1].count == state.count


def test_the_verify_page_does_not_pin_a_stolen_key(demo: Demo) -> None:
    """After the office key was replaced the old one stays pinned for old cards, unless it was stolen."""
    old = demo.key("office")
    new = envelope.new_key()
    desk = demo.desk("recovery")
    enter_key(desk, KeyFile(action="replace", use="office"), new)
    assert len(office_keys(demo.open()[1])) == 2
    newest = envelope.new_key()
    desk = Desk(demo.open()[0], demo.made + timedelta(minutes=2), demo.key("recovery"))
    enter_key(desk, KeyFile(action="replace", use="office", since_entry=3), newest)
    pinned = office_keys(demo.open()[1])
    assert envelope.encode_base64url(old.public) in pinned
    assert envelope.encode_base64url(new.public) not in pinned
    assert envelope.encode_base64url(newest.public) in pinned
