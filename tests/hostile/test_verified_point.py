"""Attacks on the verified point: bytes changed beside a true one, and forged ones for a forged ledger."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from demo_records import Demo

from warmyard.certify.ledger import envelope, steps
from warmyard.certify.ledger.database import DATABASE, add_row, make_table
from warmyard.certify.ledger.entry import Entry, make_entry, read_again
from warmyard.certify.ledger.folders import ENTRIES
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.verified_point import VerifiedPoint, digest_of, keep_point
from warmyard.cli.main import main

FLIPS = 40


class Desk:
    """The board of a records folder, with a cache folder that the attacker may write."""

    def __init__(self, target: Demo, cache: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.target, self.cache, self.capsys = target, cache, capsys

    def asks(self, *words: str) -> tuple[int, str]:
        """Ask for the board, or for what the words say; return the exit code and what was said."""
        self.capsys.readouterr()
        code = main([*(words or ("clearance", "--json")), "--records", str(self.target.records)])
        seen = self.capsys.readouterr()
        assert not (code and seen.out)
        return code, seen.out + seen.err

    def forge(self, records: list[bytes]) -> None:
        """Put other entries in the place of the ledger, and a point for them that fits in every byte."""
        database = self.target.records / DATABASE
        database.unlink()
        with sqlite3.connect(database, isolation_level=None) as made:
            make_table(made)
            made.execute("BEGIN")
            for number, record in enumerate(records, start=1):
                add_row(made, number, record)
                (ENTRIES.at(self.target.records) / f"{number:06}.json").write_bytes(record)
            made.execute("COMMIT")
        made.close()
        self.plant(records)

    def plant(self, records: list[bytes]) -> None:
        """Write a point that says that these records, and the database as it is, were found good."""
        database = envelope.digest((self.target.records / DATABASE).read_bytes())
        point = VerifiedPoint(len(records), digest_of([envelope.digest(record) for record in records]), database)
        keep_point(self.cache / "warmyard", self.target.records, point)

    def entries(self) -> list[Entry]:
        """Return the entries as they stand."""
        return list(Ledger.open(self.target.records).entries())


@pytest.fixture
def desk(target: Demo, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Desk:
    """Give the board of the demo, asked once, so that there is a true point."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    made = Desk(target, tmp_path / "cache", capsys)
    assert made.asks()[0] == 0
    return made


def rechained(
    entries: list[Entry], number: int, change: Callable[[dict[str, Any]], None], *keys: envelope.SigningKey
) -> list[bytes]:
    """Return records with one entry changed and the chain mended behind it. What the keys at hand signed is signed
    anew; under everything else stands the old signature, which fits no more."""
    mine = {key.id: key for key in keys}
    stranger, records = envelope.new_key(), [entry.record for entry in entries[: number - 1]]
    for entry in entries[number - 1 :]:
        body = dict(entry.body)
        if entry.number == number:
            change(body)
        made = make_entry(
            number=entry.number, previous=envelope.digest(records[-1]), recorded_at=entry.recorded_at,
            effective_on=entry.effective_on, kind=entry.kind, person=entry.person, body=body,
            signer=mine.get(entry.key, stranger),
        )  # fmt: skip
        record = made.record
        if entry.key not in mine:
            named = record.replace(f'"key":"{stranger.id}"'.encode(), f'"key":"{entry.key}"'.encode())
            record = named[: -len(b'0"}') - 85] + entry.record[-len(b'0"}') - 85 :]
        records.append(record)
    return records


@pytest.mark.parametrize("kind", ["entries", "people", "schemes", DATABASE])
def test_a_byte_flipped_beside_a_true_point(desk: Desk, kind: str) -> None:
    """Whatever byte of an entry file, side file, scheme or the database is changed at random: exit 3, as without."""
    chance = random.Random(kind)
    place = desk.target.records / kind
    files = sorted(path for path in (place.rglob("*") if place.is_dir() else [place]) if path.is_file())
    bound = {fact.body.side for fact in desk.target.state().by_number.values() if getattr(fact.body, "side", "")}
    files = [file for file in files if kind != "people" or file.stem in bound]
    for _ in range(FLIPS // 4):
        file = chance.choice(files)
        whole = file.read_bytes()
        at = chance.randrange(len(whole))
        # The counters of the header say nothing, and differ between copies.
        if kind == DATABASE and (24 <= at < 28 or 92 <= at < 100):
            continue
        file.write_bytes(whole[:at] + bytes([whole[at] ^ (1 << chance.randrange(8))]) + whole[at + 1 :])
        assert desk.asks()[0] == 3, (file, at)
        file.write_bytes(whole)
    assert desk.asks()[0] == 0


def test_a_forged_point_for_a_ledger_changed_without_a_key(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Evidence made more, the chain mended, the point forged to fit: the last signature of the office does not hold.

    Without the look at the last signatures the forged board would be believed; with it the answer is that of `verify`.
    """
    entries = desk.entries()
    number = next(entry.number for entry in entries if entry.kind == "evidence")
    desk.forge(rechained(entries, number, lambda body: body.update(count=41)))
    with monkeypatch.context() as patch:
        patch.setattr(steps, "verify_seen", lambda *_: None)
        assert desk.asks()[0] == 0
    code, said = desk.asks()
    assert (code, said) == desk.asks("ledger", "verify")
    assert (code, f"step 7, signature: entry {number}" in said) == (3, True)


def test_a_forged_point_by_a_decider_with_a_key_of_her_own(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who holds one key signs for that key alone: the office's last signature is over what stood there before."""
    entries, ines = desk.entries(), desk.target.key("ines")
    number = next(entry.number for entry in entries if entry.kind == "evidence")
    assert any(entry.key == ines.id and entry.number > number for entry in entries)
    desk.forge(rechained(entries, number, lambda body: body.update(count=41), ines))
    assert desk.asks()[0] == 3
    with monkeypatch.context() as patch:
        patch.setattr(steps, "verify_seen", lambda *_: None)
        assert desk.asks()[0] == 0


def test_a_forged_point_for_an_entry_that_may_not_stand_there(desk: Desk) -> None:
    """A decider's own, well signed entry about herself is refused under a point too: places are always looked at."""
    entries, ines = desk.entries(), desk.target.key("ines")
    last, evidence = entries[-1], next(entry for entry in entries if entry.kind == "evidence")
    own = make_entry(
        number=last.number + 1, previous=last.digest, recorded_at=last.recorded_at,
        effective_on=last.recorded_at.date(), kind="evidence", person="ines", body=evidence.body, signer=ines,
    )  # fmt: skip
    desk.forge([*(entry.record for entry in entries), own.record])
    code, said = desk.asks()
    assert (code, "step 8, place" in said) == (3, True)


def test_what_a_forged_point_hides_is_found_by_verify(desk: Desk) -> None:
    """A forged point may hide bytes between the entries: the board is still the true one, and `verify` finds them."""
    database, honest = desk.target.records / DATABASE, desk.asks()
    whole = database.read_bytes()
    # The bytes 72 to 92 of the header are reserved and read by nobody (SQLite file format, section 1.3).
    database.write_bytes(whole[:75] + b"\1" + whole[76:])
    assert desk.asks()[0] == 3
    desk.plant([entry.record for entry in desk.entries()])
    assert desk.asks() == honest
    assert desk.asks("ledger", "verify")[0] == 3


@pytest.mark.parametrize("junk", [b"", b"{" * 500, b'{"entry":{},"signature":"' + b"A" * 86 + b'"}', b"\xff" * 200])
def test_a_forged_point_for_records_of_junk(desk: Desk, junk: bytes) -> None:
    """Bytes that are no entry are refused in one sentence, whatever a point says of them."""
    records = [entry.record for entry in desk.entries()]
    desk.forge([*records[:-1], junk])
    assert desk.asks()[0] == 3


def test_a_record_is_read_the_same_again(desk: Desk) -> None:
    """The short reader of a record that was found good gives the very entry of the strict one."""
    for entry in desk.entries():
        assert read_again(entry.record) == entry
