"""Witness digests: what a board or a certificate prints, and what finds a rolled-back copy of the ledger later."""

from __future__ import annotations

import base64
import re
from collections.abc import Sequence

from warmyard.certify.ledger.envelope import short_digest
from warmyard.errors import InputError, VerificationError

FEWEST_CHARACTERS = 16


def witness_text(digest: str) -> str:
    """Return the digest of an entry as it is printed: 16 base32 characters, 80 bits, in groups of four."""
    return short_digest(digest, FEWEST_CHARACTERS)


def find_witness(printed: str, digests: Sequence[str]) -> int:
    """Return the number of the entry that a printed digest is of.

    Takes base32 or hexadecimal, 16 characters or more, spaces and dashes ignored. Raises InputError when it is neither,
    VerificationError when no entry of the ledger has it.
    """
    text = re.sub(r"[\s-]", "", printed).upper()
    hexadecimal, base32 = re.fullmatch(r"[0-9A-F]{16,64}", text), re.fullmatch(r"[A-Z2-7]{16,52}", text)
    if not hexadecimal and not base32:
        raise InputError("a witness digest has 16 or more letters and digits, as the board or certificate prints it")
    for number in range(len(digests), 0, -1):
        digest = digests[number - 1]
        if hexadecimal and digest.upper().startswith(text):
            return number
        if base32 and base64.b32encode(bytes.fromhex(digest)).decode("ascii").startswith(text):
            return number
    what = "no entry has the digest that was printed; this is not the ledger it came from, or an older copy of it"
    raise VerificationError("step 11, witness", what)
