"""A ledger of 50,000 entries verified, against the bare signature checks of as many entries."""

from __future__ import annotations

import sqlite3
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import msgspec
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Evidence, Person
from warmyard.certify.ledger.database import DATABASE
from warmyard.certify.ledger.entry import Entry, make_entry
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.folders import ENTRIES
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.side_files import write_side
from warmyard.errors import VerificationError

ENTRIES_WANTED = 50_000
PEOPLE = 200
START = datetime(2027, 1, 4, 8, 0, tzinfo=UTC)


def main(wanted: int = ENTRIES_WANTED) -> None:
    """Print how long the verification takes, and how many times the bare signature checks that is."""
    with tempfile.TemporaryDirectory() as name:
        folder, office = Path(name) / "records", envelope.new_key()
        ledger = Ledger.create(folder, office, envelope.new_key(), START)
        entries = fill(ledger, office, wanted)
        began = time.perf_counter()
        state = Ledger.open(folder).verify()
        whole_s = time.perf_counter() - began
    if state.count != wanted:
        raise VerificationError("bench", f"{state.count} entries were read, {wanted} written")
    public = Ed25519PublicKey.from_public_bytes(office.public)
    began = time.perf_counter()
    for entry in entries:
        public.verify(entry.signature, entry.signed)
    raw_s = time.perf_counter() - began
    print(f"ledger-verify-{wanted}  {whole_s / raw_s:.2f}  times raw verify ({whole_s:.1f} s, raw {raw_s:.1f} s)")


def fill(ledger: Ledger, office: SigningKey, wanted: int) -> list[Entry]:
    """Return all entries of a ledger filled in bulk: the same bytes as one by one, without waiting for the disk."""
    entries = list(ledger.entries())
    for number in range(len(entries) + 1, wanted + 1):
        person = f"p-{2 + (number - 2) % PEOPLE}"
        body: Person | Evidence = Evidence(what="install", level=2, count=1, by="p-2")
        if number <= PEOPLE + 1:
            body = Person(side=write_side(ledger.folder, person, "person", {"name": person}))
        entries.append(next_entry(entries[-1], person, body, office))
    with sqlite3.connect(ledger.folder / DATABASE) as connection:
        rows = [(entry.number, entry.record) for entry in entries[1:]]
        connection.executemany("INSERT INTO entries VALUES (?, ?)", rows)
        connection.execute(f"PRAGMA user_version = {len(entries)}")
    for entry in entries[1:]:
        (ENTRIES.at(ledger.folder) / f"{entry.number:06}.json").write_bytes(entry.record)
    return entries


def next_entry(last: Entry, person: str, body: Person | Evidence, office: SigningKey) -> Entry:
    """Return the entry that follows another, a minute later."""
    recorded_at = START + timedelta(minutes=last.number)
    return make_entry(
        number=last.number + 1,
        previous=last.digest,
        recorded_at=recorded_at,
        effective_on=recorded_at.date(),
        kind="person" if isinstance(body, Person) else "evidence",
        person=person,
        body=msgspec.to_builtins(body),
        signer=office,
    )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
