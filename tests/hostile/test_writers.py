"""Writers at the same time, and writers that are killed: every acknowledged entry is there, no half entry is."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Evidence, Person
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.side_files import write_side

PHRASE = "AAAA-BBBB-CCCC-DDDD-EEEE"
WRITER = """
import sys
from datetime import datetime, UTC
from pathlib import Path
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Evidence
from warmyard.certify.ledger.ledger import Ledger
folder, who, many = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
key = envelope.load_key(folder / "keys" / "office.pem", sys.argv[4])
ledger = Ledger.open(folder)
print("ready", flush=True)
sys.stdin.readline()
for at in range(many):
    body = Evidence(what=f"{who}-{at}", level=2, by="tom")
    now = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)
    entry, _ = ledger.append("evidence", "ann", body, now.date(), now, key)
    print(entry.number, flush=True)
"""
START = datetime(2027, 3, 1, 8, 0, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a small ledger with its office key in a file."""
    records, key = tmp_path / "records", envelope.new_key()
    ledger = Ledger.create(records, key, envelope.new_key(), START)
    for person in ("ann", "tom"):
        side = write_side(records, person, "person", {"name": person})
        ledger.append("person", person, Person(side=side), START.date(), START, key)
    envelope.save_key(key, records / "keys" / "office.pem", PHRASE)
    return records


def writer(folder: Path, who: str, many: int) -> subprocess.Popen[str]:
    """Start a writer and wait until it is ready."""
    process = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(folder), who, str(many), PHRASE],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    return process


def go(process: subprocess.Popen[str]) -> None:
    """Let a writer begin."""
    assert process.stdin is not None
    process.stdin.write("go\n")
    process.stdin.flush()


def read_all(process: subprocess.Popen[str]) -> list[int]:
    """Return the numbers that a writer was told, to its end."""
    assert process.stdout is not None
    told = [int(line) for line in process.stdout.read().splitlines() if line.strip().isdigit()]
    process.wait()
    return told


def names_of(folder: Path) -> dict[int, str]:
    """Return entry number -> what it says, of the evidence in a verified ledger."""
    facts = Ledger.open(folder).verify().by_number
    return {number: fact.body.what for number, fact in facts.items() if isinstance(fact.body, Evidence)}


def test_two_writers_both_enter_in_an_order(folder: Path) -> None:
    """Fifty entries each from two processes at once: a hundred entries, each writer's own in its own order."""
    writers = [writer(folder, who, 50) for who in ("a", "b")]
    for process in writers:
        go(process)
    told = [read_all(process) for process in writers]
    found = names_of(folder)
    assert sorted(told[0] + told[1]) == list(range(4, 104))
    for who, numbers in zip("ab", told, strict=True):
        assert [found[number] for number in numbers] == [f"{who}-{at}" for at in range(50)]


@pytest.mark.parametrize("after", [0, 1, 7, 20, 33])
def test_one_of_two_writers_killed(folder: Path, after: int) -> None:
    """One process is killed outright in the middle: all that it was told is there, and the other finishes its fifty."""
    victim, other = writer(folder, "a", 50), writer(folder, "b", 50)
    go(victim)
    go(other)
    assert victim.stdout is not None
    told = [int(victim.stdout.readline()) for _ in range(after)]
    time.sleep(0.0007 * after)
    os.kill(victim.pid, signal.SIGKILL)
    told += read_all(victim)
    told_other = read_all(other)
    found = names_of(folder)
    assert [found[number] for number in told] == [f"a-{at}" for at in range(len(told))]
    assert [found[number] for number in told_other] == [f"b-{at}" for at in range(50)]
    # At most one more than was told: the entry that was entered when the kill came before the word.
    assert len(found) - len(told) - 50 in (0, 1)


def test_a_reader_during_writing_sees_a_whole_ledger(folder: Path) -> None:
    """Verifying while somebody writes never finds a fault, and always a later state than before."""
    process = writer(folder, "a", 60)
    go(process)
    seen = []
    while process.poll() is None:
        seen.append(Ledger.open(folder).verify().count)
    read_all(process)
    assert seen == sorted(seen)
    assert Ledger.open(folder).verify().count == 63


def test_many_kills_leave_a_whole_ledger(folder: Path) -> None:
    """Writers killed at several moments, one after the other: the ledger verifies after each, nothing told is lost.

    bench_kills does it a thousand times.
    """
    told: list[int] = []
    for at in range(0, 20, 3):
        process = writer(folder, f"k{at}", 1000)
        go(process)
        time.sleep(0.004 + 0.0031 * at)
        os.kill(process.pid, signal.SIGKILL)
        told += read_all(process)
        assert set(told) <= names_of(folder).keys()
    assert told == sorted(told)
