"""The code of a file that is handed in: 16 base32 characters of its SHA-256, written on the slip by hand."""

from __future__ import annotations

from warmyard.certify.ledger.envelope import digest, plain_phrase, same, short_digest

CODE_CHARACTERS = 16


def code_of(data: bytes) -> str:
    """Return the code of a file, in groups of four, as its page shows it at hand-in."""
    return short_digest(digest(data), CODE_CHARACTERS)


def may_be_code(data: bytes, code: str) -> bool:
    """Say whether a code copied from a slip is the code of these bytes; case, blanks and dashes do not count."""
    return same(plain_phrase(code), plain_phrase(code_of(data)))
