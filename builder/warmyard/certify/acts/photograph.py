"""Photographs of people, as they go into side files and onto cards."""

from __future__ import annotations

import base64
from pathlib import Path

from warmyard.certify.ledger.files import read_bounded
from warmyard.certify.ledger.side_files import read_side
from warmyard.certify.ledger.state import State
from warmyard.errors import InputError
from warmyard.page.print import may_be_printed

LARGEST_BYTES = 1_500_000
_STARTS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n")


def photograph_of(records: Path, state: State, person: str) -> str:
    """Return the photograph of a person who is entered, which a change of name or roles keeps; or nothing."""
    member = state.people.get(person)
    return str(read_side(records, person, member.side).get("photograph", "")) if member else ""


def read_photograph(path: Path) -> str:
    """Return a JPEG or PNG file as base64; raise InputError when it is none, or none that a card can show."""
    try:
        data = read_bounded(path, LARGEST_BYTES)
    except OSError as problem:
        raise InputError(f"the photograph cannot be read ({problem.strerror})") from None
    if len(data) > LARGEST_BYTES or not data.startswith(_STARTS):
        raise InputError(f"a photograph is a JPEG or PNG file below {LARGEST_BYTES} bytes")
    if not may_be_printed(data):
        raise InputError("the photograph is broken: no card can show it; save it again as JPEG or PNG")
    return base64.b64encode(data).decode("ascii")
