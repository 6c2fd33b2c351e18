"""Side files: names, texts, photographs and answers of people, outside the ledger and bound to it by digest.

people/PERSON/DIGEST.json is canonical JSON {"content": {...}, "kind": "...", "salt": "64 hex"}; its name is the SHA-256
of its bytes. The salt is 32 random bytes: from the digest in the ledger nobody can try out names. `erase` removes the
folder; the ledger keeps numbers only, and still verifies.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Body
from warmyard.certify.ledger.canonical import canonical_bytes, read_json
from warmyard.certify.ledger.files import read_bounded, write_whole
from warmyard.certify.ledger.folders import PEOPLE
from warmyard.certify.ledger.state import Fact, State
from warmyard.errors import InputError, VerificationError

LARGEST_SIDE_BYTES = 4_000_000
STEP = "step 9, side files"


def write_side(records: Path, person: str, kind: str, content: Mapping[str, Any]) -> str:
    """Write what belongs to a person into a side file, and return the digest that an entry binds it by."""
    data = canonical_bytes({"content": dict(content), "kind": kind, "salt": envelope.new_secret().hex()})
    if len(data) > LARGEST_SIDE_BYTES:
        raise InputError(f"the {kind} has {len(data)} bytes; keep it below {LARGEST_SIDE_BYTES}")
    name = envelope.digest(data)
    write_whole(_path(records, person, name), data)
    return name


def read_side(records: Path, person: str, digest: str) -> dict[str, Any]:
    """Return the content of a side file; raise VerificationError when it is missing or not what was entered."""
    try:
        data = _read(records, person, digest)
    except OSError:
        raise VerificationError(STEP, "a side file is missing") from None
    if envelope.digest(data) != digest:
        raise VerificationError(STEP, "a side file was changed")
    content = read_json(data, STEP, largest_bytes=LARGEST_SIDE_BYTES).get("content")
    if not isinstance(content, dict):
        raise VerificationError(STEP, "a side file holds nothing")
    return content


def drop_side(records: Path, person: str, digest: str) -> None:
    """Remove a side file whose entry was refused, and its folder when it was the only one."""
    path = _path(records, person, digest)
    path.unlink(missing_ok=True)
    if path.parent.is_dir() and not any(path.parent.iterdir()):
        path.parent.rmdir()


def _path(records: Path, person: str, digest: str) -> Path:
    return PEOPLE.at(records) / person / f"{digest}.json"


def _read(records: Path, person: str, digest: str) -> bytes:
    # Joined as text: thousands are read for one answer, and a path takes as long to make as its file to read.
    return read_bounded(os.path.join(records, PEOPLE.name, person, f"{digest}.json"), LARGEST_SIDE_BYTES)


def bound_sides(state: State) -> Iterator[tuple[int, str, str]]:
    """Yield entry number, person and digest of every side file that should be there."""
    for person, facts in state.facts.items():
        if state.people[person].erased:
            continue
        for fact in facts:
            digest = getattr(fact.body, "side", "")
            if digest and not _tells_of_erased(state, fact.body):
                yield fact.entry.number, person, digest


def _tells_of_erased(state: State, body: Body) -> bool:
    """Say whether the words of a declaration, which may name those it is about, went with somebody who was erased."""
    return any(state.people[other].erased for other in body.tells_of())


def verify_side_of(records: Path, fact: Fact[Any]) -> None:
    """Raise VerificationError unless the side file that an entry binds is there with those bytes; most bind none."""
    digest = getattr(fact.body, "side", "")
    if digest:
        read_side(records, fact.entry.person, digest)


def verify_sides(records: Path, state: State) -> None:
    """Raise VerificationError, naming the entry, unless every side file is there with the bytes that were entered."""
    for number, person, digest in bound_sides(state):
        try:
            data = _read(records, person, digest)
        except OSError:
            what = "its side file is missing; bring it back from your copy, or forget the person with `enter erase`"
            raise VerificationError(STEP, f"entry {number}: {what}") from None
        if envelope.digest(data) != digest:
            raise VerificationError(STEP, f"entry {number}: its side file was changed")
