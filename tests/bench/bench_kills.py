"""A thousand writers killed outright at random moments: every acknowledged entry must be there, no half entry."""

from __future__ import annotations

import os
import random
import signal
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Evidence, Person
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.side_files import write_side
from warmyard.errors import VerificationError

KILLS = 1000
LONGEST_WAIT_S = 0.08
START = datetime(2027, 1, 4, 8, 0, tzinfo=UTC)


def main(kills: int = KILLS) -> None:
    """Print how many entries were acknowledged, and how many of them are lost: none, or it fails."""
    chance = random.Random(20270104)
    with tempfile.TemporaryDirectory() as name:
        folder, office = Path(name) / "records", envelope.new_key()
        ledger = Ledger.create(folder, office, envelope.new_key(), START)
        for person in ("ann", "tom"):
            side = write_side(folder, person, "person", {"name": person})
            ledger.append("person", person, Person(side=side), START.date(), START, office)
        told: list[tuple[int, str]] = []
        for at in range(kills):
            told += killed_writer(ledger, office, f"k{at}", chance.uniform(0, LONGEST_WAIT_S))
            if at % 50 == 49 or at == kills - 1:
                check(ledger, told)
        print(f"ledger-kills-{kills}  0  lost entries of {len(told)} acknowledged")


def killed_writer(ledger: Ledger, office: SigningKey, who: str, wait_s: float) -> list[tuple[int, str]]:
    """Return what a writer was told before it was killed: entry numbers with what they say."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            for at in range(1000):
                body = Evidence(what=f"{who}-{at}", level=2, by="tom")
                number = ledger.append("evidence", "ann", body, START.date(), START, office)[0].number
                os.write(writing, f"{number} {who}-{at}\n".encode())
        finally:
            os._exit(0)
    os.close(writing)
    time.sleep(wait_s)
    os.kill(child, signal.SIGKILL)
    with os.fdopen(reading) as pipe:
        lines = pipe.read().splitlines()
    os.waitpid(child, 0)
    return [(int(number), what) for number, what in (line.split() for line in lines)]


def check(ledger: Ledger, told: list[tuple[int, str]]) -> None:
    """Raise unless the ledger verifies and holds everything that was told."""
    facts = ledger.verify().by_number
    lost = [number for number, what in told if getattr(facts[number].body, "what", "") != what]
    if lost:
        raise VerificationError("bench", f"{len(lost)} acknowledged entries are lost")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
