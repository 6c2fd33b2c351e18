"""Signing, sealing and digests: the only file that imports a library of cryptography.

Keys are Ed25519 (RFC 8032), on disk as encrypted PKCS#8. A sealed text is AES-256-GCM under a key that
PBKDF2-HMAC-SHA256 draws from a phrase in 600,000 rounds (the figure of the OWASP password storage sheet);
a browser opens it with `crypto.subtle` alone. Phrases are drawn, never chosen: a sealed file can be attacked for ever.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import os
import re
import secrets
from dataclasses import dataclass
from pathlib import Path

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.pbkdf2 import PBKDF2HMAC

from warmyard.errors import InputError, VerificationError

PUBLIC_KEY_BYTES = 32
ROUNDS = 600_000
PHRASE_GROUPS = 5
"""Five groups of four base32 characters: 100 bits."""
# Points of small order, sign bit cleared, by which anybody could sign anything: 0, 1, the two of order 8, p-1, p, p+1.
_WEAK_KEYS = frozenset(
    bytes.fromhex(text)
    for text in (
        "00" * 32,
        "01" + "00" * 31,
        "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
        "ec" + "ff" * 30 + "7f",
        "ed" + "ff" * 30 + "7f",
        "ee" + "ff" * 30 + "7f",
    )
)
_NOT_BASE32 = re.compile(r"[^A-Z2-7]")
_LARGEST_KEY_FILE_BYTES = 10_000


@dataclass(frozen=True, slots=True)
class SigningKey:
    """A private key in memory, with its public half and the id under which the ledger knows it."""

    id: str
    public: bytes
    _private: Ed25519PrivateKey

    def __repr__(self) -> str:
        return f"SigningKey({self.id})"


@dataclass(frozen=True, slots=True)
class Sealed:
    """A sealed text: what a page needs, besides the phrase, to open it."""

    salt: bytes
    nonce: bytes
    box: bytes
    rounds: int = ROUNDS


def digest(data: bytes) -> str:
    """Return the SHA-256 of some bytes as 64 hex characters."""
    return hashlib.sha256(data).hexdigest()


def short_digest(digest_hex: str, characters: int = 16) -> str:
    """Return the first base32 characters of a digest in groups of four, as slips and boards print it."""
    text = base64.b32encode(bytes.fromhex(digest_hex)).decode("ascii")[:characters]
    return grouped(text)


def grouped(text: str) -> str:
    """Return text in groups of four joined by dashes, for reading aloud and typing."""
    return "-".join(text[at : at + 4] for at in range(0, len(text), 4))


def same(first: str | bytes, second: str | bytes) -> bool:
    """Say whether two values are equal, in a time that does not tell where they differ."""
    left = first.encode("utf-8") if isinstance(first, str) else first
    right = second.encode("utf-8") if isinstance(second, str) else second
    return hmac.compare_digest(left, right)


def key_id(public: bytes) -> str:
    """Return the id of a public key: the first 20 hex characters of its SHA-256."""
    return digest(public)[:20]


def new_key() -> SigningKey:
    """Return a fresh signing key."""
    return _wrap(Ed25519PrivateKey.generate())


def _wrap(private: Ed25519PrivateKey) -> SigningKey:
    public = private.public_key().public_bytes_raw()
    return SigningKey(key_id(public), public, private)


def sign(key: SigningKey, data: bytes) -> bytes:
    """Return the Ed25519 signature of some bytes, 64 bytes long."""
    return key._private.sign(data)


def may_trust(public: bytes, data: bytes, signature: bytes) -> bool:
    """Say whether a signature over some bytes was made with the private half of a public key."""
    if is_weak(public):
        return False
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, data)
    except (InvalidSignature, ValueError):
        return False
    return True


def is_weak(public: bytes) -> bool:
    """Say whether a public key is no key of anybody: of another length, or a point that every signature could fit."""
    return len(public) != PUBLIC_KEY_BYTES or public[:31] + bytes([public[31] & 0x7F]) in _WEAK_KEYS


def verify(public: bytes, data: bytes, signature: bytes, *, step: str = "signature") -> None:
    """Raise VerificationError, naming the step, unless the signature over the bytes holds."""
    if not may_trust(public, data, signature):
        raise VerificationError(step, "the signature does not fit what is signed")


def encode_base64url(data: bytes) -> str:
    """Return bytes as base64url without padding, as it stands in entries, tokens and pages."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode("ascii")


def decode_base64url(text: str, *, step: str = "signature") -> bytes:
    """Return the bytes of unpadded base64url; raise VerificationError unless there is exactly one way to write them."""
    try:
        data = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except ValueError:
        raise VerificationError(step, "not base64url text") from None
    if encode_base64url(data) != text:
        raise VerificationError(step, "not base64url in its one canonical form")
    return data


def new_phrase() -> str:
    """Return a phrase of 100 random bits, as five groups of four base32 characters."""
    return grouped(base64.b32encode(secrets.token_bytes(13)).decode("ascii")[: PHRASE_GROUPS * 4])


def plain_phrase(text: str) -> str:
    """Return a typed phrase as the bytes behind it are spelt: capitals, 0 read as O, 1 as I, 8 as B, nothing else."""
    return _NOT_BASE32.sub("", text.upper().translate(str.maketrans("018", "OIB")))


def save_key(key: SigningKey, path: Path, phrase: str) -> None:
    """Write a private key as encrypted PKCS#8, readable by its owner only; an existing file is never overwritten."""
    text = key._private.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.BestAvailableEncryption(_phrase_bytes(phrase)),
    )
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with open(path, "xb", opener=_private_opener) as file:
            file.write(text)
    except FileExistsError:
        raise InputError(f"there is a key file {path.name} already; a key is never overwritten") from None


def _private_opener(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def load_key(path: Path, phrase: str) -> SigningKey:
    """Return the private key in an encrypted PKCS#8 file; raise InputError when the file or the phrase is wrong."""
    try:
        raw = path.read_bytes()
    except OSError:
        raise InputError(f"there is no key file {path.name} in {path.parent}") from None
    if len(raw) > _LARGEST_KEY_FILE_BYTES:
        raise InputError(f"{path.name} is too large for a key file")
    try:
        private = serialization.load_pem_private_key(raw, _phrase_bytes(phrase))
    except (ValueError, TypeError):
        raise InputError(f"the phrase does not open {path.name}") from None
    if not isinstance(private, Ed25519PrivateKey):
        raise InputError(f"{path.name} is not an Ed25519 key")
    return _wrap(private)


def _phrase_bytes(phrase: str) -> bytes:
    plain = plain_phrase(phrase)
    if len(plain) < 16:
        raise InputError("the phrase is too short; it has at least 16 letters and digits, in groups of four")
    return plain.encode("ascii")


def seal(phrase: str, plain: bytes, bound_to: bytes) -> Sealed:
    """Return a text sealed under a phrase and bound to other bytes, without which it does not open.

    The AES key is PBKDF2-HMAC-SHA256(plain_phrase(phrase), salt, 600,000 rounds, 32 bytes); `box` is the
    AES-256-GCM output with its 16-byte tag at the end, `bound_to` its additional data.
    """
    salt, nonce = secrets.token_bytes(16), secrets.token_bytes(12)
    return Sealed(salt, nonce, AESGCM(_drawn_key(phrase, salt, ROUNDS)).encrypt(nonce, plain, bound_to), ROUNDS)


def _drawn_key(phrase: str, salt: bytes, rounds: int) -> bytes:
    return PBKDF2HMAC(hashes.SHA256(), 32, salt, rounds).derive(_phrase_bytes(phrase))


def new_secret() -> bytes:
    """Return 32 random bytes."""
    return secrets.token_bytes(32)


def new_name(letters: int = 10) -> str:
    """Return a random name of lower-case base32 characters, 5 bits each."""
    return base64.b32encode(secrets.token_bytes(letters)).decode("ascii")[:letters].lower()


def seed(secret: bytes, *parts: str) -> int:
    """Return a number of 52 bits that only the secret and the parts decide: HMAC-SHA256 over the framed parts."""
    framed = b"".join(len(raw).to_bytes(4, "big") + raw for raw in (part.encode("utf-8") for part in parts))
    return int.from_bytes(hmac.new(secret, framed, hashlib.sha256).digest()[:7], "big") >> 4
