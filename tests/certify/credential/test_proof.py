"""Data Integrity proofs: the published vector, and a second stack that shares no code with ours."""

from __future__ import annotations

import hashlib
from typing import Any

import base58
import jcs
import nacl.exceptions
import nacl.signing
import pytest
from hypothesis import given
from hypothesis import strategies as st
from secrets_of_tests import key_from_seed

from warmyard.certify.credential.proof import base58 as our_base58
from warmyard.certify.credential.proof import did_key, proof_bytes, read_base58, verify_proof, with_proof
from warmyard.certify.ledger import envelope
from warmyard.errors import VerificationError

# W3C Data Integrity EdDSA Cryptosuites v1.0, appendix "Representation: eddsa-jcs-2022": key pair, credential and
# combined hash READ in github.com/w3c/vc-di-eddsa, TestVectors/keyPair.json and TestVectors/eddsa-jcs-2022/.
# The proof value of that combined hash is from memory; only the holder of the key can have made it.
SECRET_MULTIBASE = "z3u2en7t5LR2WtQH5PfFqMqwVHBeXouLzo6haApm8XHqvjxq"
PUBLIC_MULTIBASE = "z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2"
COMBINED_HASH = (
    "66ab154f5c2890a140cb8388a22a160454f80575f6eae09e5a097cabe539a1db"
    "59b7cb6251b8991add1ce0bc83107e3db9dbbab5bd2c28f687db1a03abc92f19"
)
PROOF_VALUE = "z2HnFSSPPBzR36zdDgK8PbEHeXbR56YF24jwMpt3R1eHXQzJDMWS93FCzpvJpwTWd3GAVFuUfjoJdcnTMuVor51aX"
CREDENTIAL: dict[str, Any] = {
    "@context": ["https://www.w3.org/ns/credentials/v2", "https://www.w3.org/ns/credentials/examples/v2"],
    "id": "urn:uuid:58172aac-d8ba-11ed-83dd-0b3aef56cc33",
    "type": ["VerifiableCredential", "AlumniCredential"],
    "name": "Alumni Credential",
    "description": "A minimum viable example of an Alumni Credential.",
    "issuer": "https://vc.example/issuers/5678",
    "validFrom": "2023-01-01T00:00:00Z",
    "credentialSubject": {"id": "did:example:abcdefgh", "alumniOf": "The School of Examples"},
}
KEY = key_from_seed(base58.b58decode(SECRET_MULTIBASE[1:])[2:])


def trusted_by_others(document: dict[str, Any]) -> bool:
    """Say whether PyNaCl, jcs and base58 trust a document's proof, by the standard's own steps."""
    proof = dict(document["proof"])
    value = base58.b58decode(proof.pop("proofValue")[1:])
    plain = {name: inner for name, inner in document.items() if name != "proof"}
    hashed = hashlib.sha256(jcs.canonicalize(proof)).digest() + hashlib.sha256(jcs.canonicalize(plain)).digest()
    public = base58.b58decode(proof["verificationMethod"].partition("#")[2][1:])[2:]
    try:
        nacl.signing.VerifyKey(public).verify(hashed, value)
    except nacl.exceptions.BadSignatureError:
        return False
    return True


def test_the_w3c_vector_comes_out_byte_for_byte() -> None:
    """Key name, combined hash and proof value are the published ones."""
    assert did_key(KEY.public) == f"did:key:{PUBLIC_MULTIBASE}"
    signed = with_proof(CREDENTIAL, KEY, "2023-02-24T23:36:38Z")
    options = {name: value for name, value in signed["proof"].items() if name != "proofValue"}
    assert proof_bytes(CREDENTIAL, options).hex() == COMBINED_HASH
    assert signed["proof"]["proofValue"] == PROOF_VALUE


def test_a_second_stack_trusts_our_proof_and_not_a_changed_document() -> None:
    """PyNaCl and jcs verify what we sign; one changed value, or one changed option, is false."""
    signed = with_proof(CREDENTIAL, KEY, "2023-02-24T23:36:38Z")
    assert trusted_by_others(signed)
    assert not trusted_by_others({**signed, "name": "Alumni credential"})
    assert not trusted_by_others({**signed, "proof": {**signed["proof"], "created": "2023-02-24T23:36:39Z"}})


def test_our_verifier_wants_the_pinned_key() -> None:
    """A proof that is sound but made with another key is refused: it proves integrity, not who."""
    verify_proof(with_proof(CREDENTIAL, KEY, "2023-02-24T23:36:38Z"), KEY.public)
    forged = with_proof(CREDENTIAL, envelope.new_key(), "2023-02-24T23:36:38Z")
    assert trusted_by_others(forged)
    with pytest.raises(VerificationError, match="issuer"):
        verify_proof(forged, KEY.public)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("proofPurpose", "authentication"),
        ("cryptosuite", "eddsa-rdfc-2022"),
        ("type", "Ed25519Signature2020"),
        ("@context", ["https://www.w3.org/ns/credentials/v2"]),
        ("proofValue", "z1111"),
        ("proofValue", "x"),
        ("proofValue", "z0OIl"),
        ("proofValue", 7),
        ("created", "2023-02-25T00:00:00Z"),
    ],
)
def test_a_proof_of_another_kind_is_refused(name: str, value: object) -> None:
    """Purpose, suite, context, time and value of a proof are all bound."""
    signed = with_proof(CREDENTIAL, KEY, "2023-02-24T23:36:38Z")
    with pytest.raises(VerificationError):
        verify_proof({**signed, "proof": {**signed["proof"], name: value}}, KEY.public)


def test_a_document_without_proof_is_refused() -> None:
    """No proof is not a proof."""
    with pytest.raises(VerificationError, match="no proof"):
        verify_proof(CREDENTIAL, KEY.public)


@given(st.binary(max_size=80))
def test_base58_is_that_of_another_library(data: bytes) -> None:
    """Our base58btc equals that of the base58 package, both ways."""
    assert our_base58(data) == base58.b58encode(data).decode()
    assert read_base58(our_base58(data)) == data
