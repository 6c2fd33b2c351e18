"""W3C Data Integrity proofs, cryptosuite eddsa-jcs-2022, and did:key names of Ed25519 keys.

Published rules: W3C Data Integrity EdDSA Cryptosuites v1.0 (eddsa-jcs-2022), did:key, multibase base58btc (z),
multicodec ed25519-pub (0xed 0x01). The proof's bytes are SHA-256 of its options, then SHA-256 of the document.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.errors import VerificationError

SUITE = "eddsa-jcs-2022"
_ALPHABET = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
_ED25519_PUBLIC = b"\xed\x01"


def base58(data: bytes) -> str:
    """Return bytes as base58btc, one 1 for each leading zero byte."""
    number = int.from_bytes(data, "big")
    text = ""
    while number:
        number, rest = divmod(number, 58)
        text = _ALPHABET[rest] + text
    return "1" * (len(data) - len(data.lstrip(b"\0"))) + text


def read_base58(text: str) -> bytes:
    """Return the bytes of base58btc text; raise VerificationError for a character outside the alphabet."""
    number = 0
    for character in text:
        at = _ALPHABET.find(character)
        if at < 0:
            raise VerificationError("proof", "not base58 text")
        number = number * 58 + at
    zeros = len(text) - len(text.lstrip("1"))
    return b"\0" * zeros + number.to_bytes((number.bit_length() + 7) // 8, "big")


def did_key(public: bytes) -> str:
    """Return the did:key name of an Ed25519 public key."""
    return f"did:key:z{base58(_ED25519_PUBLIC + public)}"


def verification_method(public: bytes) -> str:
    """Return the did:key address of the key itself, as proofs name it."""
    name = did_key(public)
    return f"{name}#{name.removeprefix('did:key:')}"


def with_proof(document: Mapping[str, Any], key: SigningKey, created: str) -> dict[str, Any]:
    """Return a document with its proof; `created` is an XML date-time such as 2026-03-31T10:15:00Z."""
    options = {
        "type": "DataIntegrityProof",
        "cryptosuite": SUITE,
        "created": created,
        "verificationMethod": verification_method(key.public),
        "proofPurpose": "assertionMethod",
        "@context": document["@context"],
    }
    value = "z" + base58(envelope.sign(key, proof_bytes(document, options)))
    return {**document, "proof": {**options, "proofValue": value}}


def proof_bytes(document: Mapping[str, Any], options: Mapping[str, Any]) -> bytes:
    """Return the 64 bytes that an eddsa-jcs-2022 proof signs."""
    return (
        hashlib.sha256(canonical_bytes(dict(options))).digest()
        + hashlib.sha256(canonical_bytes({name: value for name, value in document.items() if name != "proof"})).digest()
    )


def verify_proof(document: Mapping[str, Any], public: bytes) -> None:
    """Raise VerificationError unless the document's proof was made with the pinned key over exactly this document."""
    proof = document.get("proof")
    if not isinstance(proof, dict):
        raise VerificationError("proof", "the document has no proof")
    options = {name: value for name, value in proof.items() if name != "proofValue"}
    if (options.get("type"), options.get("cryptosuite")) != ("DataIntegrityProof", SUITE):
        raise VerificationError("proof", f"the proof is not of the suite {SUITE}")
    if options.get("proofPurpose") != "assertionMethod":
        raise VerificationError("proof", "the proof was made for another purpose")
    if options.get("verificationMethod") != verification_method(public):
        raise VerificationError("issuer", "the document names another key than the one that is pinned")
    if options.get("@context") != document.get("@context"):
        raise VerificationError("proof", "the proof was made for another context")
    value = proof.get("proofValue")
    if not isinstance(value, str) or not value.startswith("z") or len(value) > 100:
        raise VerificationError("proof", "the proof has no value")
    envelope.verify(public, proof_bytes(document, options), read_base58(value[1:]), step="proof")
