"""What only tests need of cryptography: keys of published seeds, and an own way into a sealed box."""

from __future__ import annotations

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.pbkdf2 import PBKDF2HMAC

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.envelope import Sealed, SigningKey, key_id, plain_phrase
from warmyard.errors import VerificationError


def key_from_seed(seed: bytes) -> SigningKey:
    """Return the signing key of a 32-byte RFC 8032 seed."""
    private = Ed25519PrivateKey.from_private_bytes(seed)
    public = private.public_key().public_bytes_raw()
    return SigningKey(key_id(public), public, private)


def open_sealed(phrase: str, sealed: Sealed, bound_to: bytes) -> bytes:
    """Return the text inside, as the page opens it; raise VerificationError when phrase, box or binding differ."""
    if sealed.rounds != envelope.ROUNDS or len(sealed.salt) != 16 or len(sealed.nonce) != 12:
        raise VerificationError("seal", "the seal has other parameters than Warmyard writes")
    key = PBKDF2HMAC(hashes.SHA256(), 32, sealed.salt, sealed.rounds).derive(plain_phrase(phrase).encode())
    try:
        return AESGCM(key).decrypt(sealed.nonce, sealed.box, bound_to)
    except InvalidTag:
        raise VerificationError("seal", "the phrase does not open it, or it was changed") from None
