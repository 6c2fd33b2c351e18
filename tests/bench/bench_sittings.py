"""10,000 sittings of 60 items read, marked and entered, against signing and inserting as many records and no more."""

from __future__ import annotations

import json
import sqlite3
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

from warmyard.certify.exam.paper_key import Asked, PaperKey
from warmyard.certify.exam.sitting import Already, mark_sitting, open_sitting
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Paper, Person, Sitting
from warmyard.certify.ledger.code import code_of
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.side_files import write_side
from warmyard.errors import VerificationError
from warmyard.item.variant_model import ChoiceKey, NumberKey, Question, Shown, SlipValue, Variant

SITTINGS = 10_000
ITEMS = 60
START = datetime(2027, 1, 4, 8, 0, tzinfo=UTC)


def main(sittings: int = SITTINGS) -> None:
    """Print how long marking and entering take, and how many times bare signing and inserting that is."""
    with tempfile.TemporaryDirectory() as name:
        office = envelope.new_key()
        ledger = Ledger.create(Path(name) / "records", office, envelope.new_key(), START)
        handed_in = [issue(ledger, at, office) for at in range(sittings)]
        began = time.perf_counter()
        enter_all(ledger, handed_in, office)
        whole_s = time.perf_counter() - began
        records = [entry.signed for entry in ledger.entries()[-sittings:]]
        raw_s = sign_and_insert(Path(name) / "raw.sqlite", records, office)
    seconds = f"{whole_s:.1f} s, raw {raw_s:.1f} s"
    print(f"sittings-marked-and-entered-{sittings}  {whole_s / raw_s:.2f}  times raw sign and insert ({seconds})")


def questions() -> tuple[Asked, ...]:
    """Return the questions of a paper: half to choose, half to compute."""
    options = tuple(Shown(id=each, text=f"answer {each}") for each in "abcd")
    asked = []
    for at in range(ITEMS):
        name = f"q{at + 1:02}"
        if at % 2:
            question = Question(item=name, seed=0, kind="choice", ask="Which?", skill="", options=options)
            key: ChoiceKey | NumberKey = ChoiceKey(right=("b",), why={each: f"because {each}" for each in "abcd"})
        else:
            question = Question(item=name, seed=0, kind="numeric", ask="How much?", skill="", unit="bar", decimals=1)
            slips = (SlipValue(id="halved", value=5.0, say="you halved it"),)
            key = NumberKey(value=10.0, shown="10.0 bar", unit="bar", tolerance=0.1, slips=slips, steps=())
        variant = Variant(question=question, key=key)
        asked.append(Asked(name=name, item=f"item-{at}", duty="A", critical=at < 6, seed=at, variant=variant))
    return tuple(asked)


QUESTIONS = questions()


def issue(ledger: Ledger, at: int, office: SigningKey) -> tuple[PaperKey, bytes]:
    """Enter one person and one paper; return the paper's key and the file that the person hands in."""
    person, paper, now = f"p-{at}", f"paper-{at}", START + timedelta(seconds=at)
    side = write_side(ledger.folder, person, "person", {"name": person})
    ledger.append("person", person, Person(side=side), now.date(), now, office)
    key = PaperKey(
        salt="00", paper=paper, person=person, level=2, part="knowledge", attempt=1, sealed="0" * 64, cut_percent="75",
        questions=QUESTIONS,
    )  # fmt: skip
    body = Paper(
        paper=paper, level=2, part="knowledge", scheme="0" * 64, page="0" * 64, frozen_key="0" * 64,
        questions="0" * 64, attempt=1, minutes=90,
    )  # fmt: skip
    ledger.append("paper", person, body, now.date(), now, office)
    text = "5.0 bar" if at % 3 else "10 bar"
    answers = [
        {"question": one.name, "response": {"chosen": ["b"]} if index % 2 else {"text": text}}
        for index, one in enumerate(QUESTIONS)
    ]
    claimed = {"started_at": "2027-01-04T09:00:00Z", "handed_in_at": "2027-01-04T10:00:00Z", "seconds": 3600}
    sitting = {"format": "warmyard-sitting-1", "paper": paper, "person": person, "sealed": "0" * 64}
    return key, json.dumps({**sitting, "answers": answers, "claimed": claimed}).encode()


def enter_all(ledger: Ledger, handed_in: list[tuple[PaperKey, bytes]], office: SigningKey) -> None:
    """Verify the ledger once, then read, mark and enter every sitting, each acknowledged on the disk by itself."""
    state = ledger.verify()
    now = START + timedelta(days=1)
    for key, data in handed_in:
        found = open_sitting(data, code_of(data), state)
        if isinstance(found, Already):
            raise VerificationError("bench", "a sitting was there already")
        sitting, paper = found
        outcome = mark_sitting(sitting, key)
        body = Sitting(
            paper=key.paper, level=key.level, part=key.part, record=envelope.digest(data), passed=outcome.passed,
            right=outcome.right, of=outcome.of, cut_percent=outcome.cut_percent,
            critical_missed=outcome.critical_missed, marks={one.item: one.right for one in outcome.marks},
        )  # fmt: skip
        ledger.append("sitting", paper.entry.person, body, now.date(), now, office)


def sign_and_insert(path: Path, records: list[bytes], office: SigningKey) -> float:
    """Return the seconds for signing the same bytes and inserting them, each in its own transaction, as safely."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode=DELETE")
    connection.execute("PRAGMA synchronous=EXTRA")
    connection.execute("CREATE TABLE entries (number INTEGER PRIMARY KEY, record BLOB, signature BLOB)")
    began = time.perf_counter()
    for number, record in enumerate(records):
        connection.execute("INSERT INTO entries VALUES (?, ?, ?)", (number, record, envelope.sign(office, record)))
    taken_s = time.perf_counter() - began
    connection.close()
    return taken_s


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
