"""A hundred thousand spoilt files through every reader of the office, and as many hundredths of spoilt databases.

A file is read, or refused in one sentence; a changed byte of a database is always found. The long draw of the laws in
tests/hostile/test_inputs.py and test_ledger.py.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from warmyard.certify.acts.kinds import FILES
from warmyard.certify.credential.status import open_status_list
from warmyard.certify.credential.token import open_token
from warmyard.certify.demo.files import form_file
from warmyard.certify.exam.observation import read_observation
from warmyard.certify.exam.sitting import read_sitting
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Evidence, Person
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.database import DATABASE
from warmyard.certify.ledger.entry import read_entry
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.side_files import write_side
from warmyard.cli.fact_file import read_facts
from warmyard.course.workspace import read_workspace
from warmyard.errors import WarmyardError
from warmyard.formula.quantity import read_quantity
from warmyard.sources import parse_document

INPUTS = 100_000
ROOT = Path(__file__).resolve().parents[2]
START = datetime(2027, 1, 4, 8, 0, tzinfo=UTC)
SCRAPS = (
    *(b"{", b"}", b"[", b"]", b'"', b":", b",", b"null", b"-1", b"1e999", b"NaN", b"true", b"9" * 40, b"{" * 50),
    *(b"\\u0000", b"\\ud800", b"\xff", b"\xe2\x80\xa8", b"\n", b"\t", b"- ", b"&a ", b"*a", b"!!x ", b"'", b".."),
)
"""What is pushed in: the grammar's own signs, numbers without measure, halves of characters."""
Reader = Callable[[bytes], object]


def main(inputs: int = INPUTS) -> None:
    """Print how many spoilt inputs each reader took and refused; any other end than these two stops it."""
    chance = random.Random(20270104)
    with tempfile.TemporaryDirectory() as name:
        kinds = list(samples(Path(name)))
    found: Counter[str] = Counter()
    begun = time.perf_counter()
    for at in range(inputs):
        what, honest, read = kinds[at % len(kinds)]
        try:
            read(spoilt(honest, chance))
            found["taken"] += 1
        except WarmyardError as refusal:
            if "\n" in str(refusal):
                raise AssertionError(f"{what}: refused in more than one line: {refusal}") from refusal
            found["refused"] += 1
    seconds = time.perf_counter() - begun
    print(f"fuzzed-inputs-{inputs}  {inputs / seconds:.0f}  per s: {found['refused']} refused, {found['taken']} taken")
    spoil_databases(inputs // 100, chance)


def spoil_databases(times: int, chance: random.Random) -> None:
    """Change one byte of a ledger's database so many times; one that is not found stops it.

    Left out are the four bytes in which SQLite notes its own version (file format, offset 96).
    """
    with tempfile.TemporaryDirectory() as name:
        entry_record(Path(name))
        file = Path(name) / DATABASE
        honest = file.read_bytes()
        for _ in range(times):
            at = chance.choice((chance.randrange(96), chance.randrange(100, len(honest))))
            file.write_bytes(honest[:at] + bytes([honest[at] ^ chance.randint(1, 255)]) + honest[at + 1 :])
            try:
                Ledger.open(Path(name)).verify()
            except WarmyardError:
                continue
            raise AssertionError(f"byte {at} of the database was changed, and nobody noticed")
    print(f"spoilt-databases-{times}  all found")


def samples(folder: Path) -> Iterator[tuple[str, bytes, Reader]]:
    """Yield every kind of file that comes in from outside: its name, an honest one, and who reads it."""
    station = next(iter(read_workspace(ROOT).stations.values()))
    record = entry_record(folder / "records")
    yield "a record of the ledger", record, read_entry
    yield "a form", form_file(station, "ann", 2, "tom", START), read_observation
    yield "a sitting", SITTING, read_sitting
    for kind, text in FACTS.items():
        yield f"a {kind} file", text, partial(read_facts, name="fact.yaml", kind=FILES[kind])
    yield "a token", TOKEN, lambda raw: open_token(raw.decode("latin-1"), {})
    yield "a status list", TOKEN, lambda raw: open_status_list(raw.decode("latin-1"), {})
    yield "a typed number", b"12.5 bar", lambda raw: read_quantity(raw.decode("latin-1"), "Pa")
    yield "a source", FACTS["evidence"], lambda raw: parse_document(raw.decode("utf-8", "replace"), "source.yaml")


def entry_record(folder: Path) -> bytes:
    """Return the bytes of an entry as a ledger keeps them."""
    office = envelope.new_key()
    ledger = Ledger.create(folder, office, envelope.new_key(), START)
    for person in ("ann", "tom"):
        side = write_side(folder, person, "person", {"name": person})
        ledger.append("person", person, Person(side=side), START.date(), START, office)
    ledger.append("evidence", "ann", Evidence(what="hours", level=2, by="tom"), START.date(), START, office)
    return sorted((folder / "entries").iterdir())[-1].read_bytes()


def spoilt(honest: bytes, chance: random.Random) -> bytes:
    """Return a file with one to six changes: a byte turned, a piece cut, doubled or swapped, a scrap pushed in."""
    data = bytearray(honest)
    for _ in range(chance.randint(1, 6)):
        at = chance.randrange(len(data) + 1)
        end = min(len(data), at + chance.randint(1, 24))
        match chance.randrange(5):
            case 0 if data:
                data[min(at, len(data) - 1)] ^= 1 << chance.randrange(8)
            case 1:
                del data[at:end]
            case 2:
                data[at:at] = data[at:end] * chance.randint(1, 3)
            case 3:
                data[at:end] = bytes(reversed(data[at:end]))
            case _:
                data[at:at] = chance.choice(SCRAPS)
    return bytes(data)


SITTING = canonical_bytes(
    {
        "format": "warmyard-sitting-1", "paper": "paper-1", "person": "ann", "sealed": "0" * 64,
        "answers": [{"question": "q01", "response": {"chosen": ["a"], "text": "12.5 bar", "order": ["a", "b"]}}],
        "claimed": {"started_at": "2027-01-04T09:00:00Z", "handed_in_at": "2027-01-04T09:30:00Z", "seconds": 1800},
    }
)  # fmt: skip
TOKEN = b"eyJhbGciOiJFZERTQSJ9.eyJjIjoiYy0xIiwibiI6IkFubiJ9." + b"A" * 86
FACTS = {
    "person": b"name: Ann Example\nroles: [trainer]\nperson: ann\n",
    "key": b"action: stolen\nperson: ann\nsince_entry: 4\n",
    "evidence": b'- person: ann\n  what: hours\n  level: 2\n  on: "2027-01-04"\n  by: tom\n  count: 3\n  text: Seen.\n',
    "waiver": b"person: ann\nlevel: 2\ndecider: eve\nconflicts: [trained]\nbecause: Nobody else.\nsecond: tom\n",
    "appeal": b'person: ann\ndecision: 9\nstage: lodged\non: "2027-01-04"\ntext: No.\n',
    "void": b"entry: 3\nbecause: mistake\n",
    "erase": b"person: ann\nbecause: own-wish\n",
}


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
