"""The ledger: entries in a chain, in a database and as files, and what a writer that dies leaves."""

from __future__ import annotations

import base64
import hashlib
import json
import sqlite3
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import jcs
import nacl.signing
import pytest

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Evidence, Key, Person, Role, Void
from warmyard.certify.ledger.database import DATABASE
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.folders import ENTRIES
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.side_files import write_side
from warmyard.certify.ledger.witness import find_witness, witness_text
from warmyard.errors import InputError, VerificationError

START = datetime(2027, 3, 1, 8, 0, tzinfo=UTC)
LATER = START + timedelta(hours=1)


class Book:
    """A fresh ledger with its keys and two people."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.office, self.recovery = envelope.new_key(), envelope.new_key()
        self.ledger = Ledger.create(folder, self.office, self.recovery, START)
        people: dict[str, tuple[Role, ...]] = {"ann": (), "dora": ("decider",), "tom": ("trainer",)}
        for person, roles in people.items():
            side = write_side(folder, person, "person", {"name": person})
            self.add("person", person, Person(roles=roles, side=side))

    def add(self, kind: str, person: str, body: Any, *, by: SigningKey | None = None, at: datetime = START) -> int:
        """Append an entry and return its number."""
        return self.ledger.append(kind, person, body, at.date(), at, by or self.office)[0].number

    def key_of(self, person: str) -> SigningKey:
        """Give a person a key."""
        key = envelope.new_key()
        self.add("key", person, Key(action="add", key=key.id, public=envelope.encode_base64url(key.public)))
        return key

    def path(self, number: int, ending: str = ".json") -> Path:
        """Return the file of an entry."""
        return ENTRIES.at(self.folder) / f"{number:06}{ending}"


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """Give a fresh ledger."""
    return Book(tmp_path / "records")


def evidence(by: str = "tom") -> Evidence:
    """Return a piece of evidence."""
    return Evidence(what="hours", level=2, by=by)


def test_a_stranger_verifies_the_chain_from_the_files_alone(book: Book) -> None:
    """With the files, PyNaCl and jcs anybody can follow the chain: nothing of ours is needed."""
    book.add("evidence", "ann", evidence())
    before, public = "0" * 64, b""
    for number in range(1, 6):
        raw = book.path(number).read_bytes()
        record = json.loads(raw)
        assert jcs.canonicalize(record) == raw
        if number == 1:
            public = base64.urlsafe_b64decode(record["entry"]["body"]["office"]["public"] + "=")
        signature = base64.urlsafe_b64decode(record["signature"] + "==")
        nacl.signing.VerifyKey(public).verify(jcs.canonicalize(record["entry"]), signature)
        assert (record["entry"]["number"], record["entry"]["previous"]) == (number, before)
        before = hashlib.sha256(raw).hexdigest()
    assert book.ledger.verify().tip == before


def test_an_entry_comes_back_as_it_was_entered(book: Book) -> None:
    """Kind, person, body, days and key of an entry are those that went in; absent fields are not there."""
    number = book.add("evidence", "ann", evidence(), at=LATER)
    entry = book.ledger.entries()[-1]
    assert (entry.number, entry.kind, entry.person, entry.key) == (number, "evidence", "ann", book.office.id)
    assert entry.body == {"what": "hours", "level": 2, "by": "tom"}
    assert (entry.recorded_at, entry.effective_on) == (LATER, LATER.date())


def test_time_never_goes_back(book: Book) -> None:
    """An entry recorded before the last one is refused with the time of the last one; nothing is written."""
    book.add("evidence", "ann", evidence(), at=LATER)
    with pytest.raises(InputError, match="2027-03-01T09:00:00"):
        book.add("evidence", "ann", evidence(), at=START)
    assert book.ledger.verify().count == 5


def test_a_time_without_a_zone_is_refused(book: Book) -> None:
    """A recorded time says where it was read."""
    with pytest.raises(InputError, match="time zone"):
        book.add("evidence", "ann", evidence(), at=datetime(2027, 3, 2, 8, 0))


@pytest.mark.parametrize(
    ("kind", "person", "body"),
    [
        ("evidence", "nobody", evidence()),
        ("evidence", "ann", evidence(by="nobody")),
        ("evidence", "", evidence()),
        ("evidence", "ann", {"what": "hours", "level": 2, "by": "tom", "extra": 1}),
        ("evidence", "ann", {"what": "hours", "level": 2}),
        ("evidence", "ann", {"what": "hours", "level": "2", "by": "tom"}),
        ("evidence", "Ann", evidence()),
        ("evidence", "../ann", evidence()),
        ("evidence", "a" * 41, evidence()),
        ("wish", "ann", {}),
        ("void", "", Void(entry=99, because="x")),
        ("void", "", Void(entry=1, because="x")),
        ("scheme", "ann", {"scheme": "s", "version": "1", "digest": "0" * 64}),
        ("open", "", {"office": {}, "recovery": {}}),
    ],
)
def test_what_may_not_stand_there_is_never_written(book: Book, kind: str, person: str, body: Any) -> None:
    """A wrong kind, body or person is refused, and the ledger is what it was."""
    with pytest.raises(InputError):
        book.add(kind, person, body)
    assert book.ledger.verify().count == 4
    assert not book.path(5).exists()
    assert not book.path(5, ".json.new").exists()


def test_a_ledger_is_opened_once(book: Book) -> None:
    """There is no second ledger in a folder, and none where there is no ledger."""
    with pytest.raises(InputError, match="already"):
        Ledger.create(book.folder, book.office, book.recovery, START)
    with pytest.raises(InputError, match="no ledger"):
        Ledger.open(ENTRIES.at(book.folder))


def test_the_database_is_whole_when_copied(book: Book) -> None:
    """A rollback journal and EXTRA synchronisation: no second file holds acknowledged entries."""
    with sqlite3.connect(book.folder / DATABASE) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    assert sorted(path.name for path in book.folder.iterdir()) == [ENTRIES.name, DATABASE, "people"]


def test_a_writer_that_died_before_the_database_left_nothing(book: Book) -> None:
    """A .new file without a row was never entered: the ledger verifies, and the next writer clears it away."""
    book.path(5, ".json.new").write_bytes(b'{"entry":{"half')
    assert book.ledger.verify().count == 4
    book.add("evidence", "ann", evidence())
    assert not book.path(5, ".json.new").exists()
    assert book.ledger.verify().count == 5


def test_a_writer_that_died_after_the_database_is_finished(book: Book) -> None:
    """A row with its .new file is entered: the ledger verifies as it is, and the next writer names the file."""
    book.path(4).rename(book.path(4, ".json.new"))
    assert Ledger.open(book.folder).verify().count == 4
    Ledger.open(book.folder).append("evidence", "ann", evidence(), START.date(), START, book.office)
    assert book.path(4).exists()
    assert Ledger.open(book.folder).verify().count == 5


def test_a_folder_that_cannot_be_written_keeps_what_it_has(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk is one sentence; nothing is entered, and the next attempt works."""

    def full(path: Path, data: bytes) -> None:
        path.write_bytes(data[:10])
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("warmyard.certify.ledger.ledger.write_through", full)
        with pytest.raises(InputError, match="nothing was entered"):
            book.add("evidence", "ann", evidence())
    assert book.ledger.verify().count == 4
    assert book.add("evidence", "ann", evidence()) == 5


def test_a_read_only_copy_is_verified(book: Book) -> None:
    """Verification writes nothing, so a write-protected stick will do."""
    paths = [book.folder, *book.folder.rglob("*")]
    for path in paths:
        path.chmod(path.stat().st_mode & ~(stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH))
    try:
        assert Ledger.open(book.folder).verify().count == 4
    finally:
        for path in paths:
            path.chmod(path.stat().st_mode | stat.S_IWUSR)


def test_two_ledgers_at_once_see_one_another(book: Book) -> None:
    """Two open ledgers on one folder enter in turn: each takes in what the other wrote."""
    other = Ledger.open(book.folder)
    for _ in range(3):
        book.add("evidence", "ann", evidence())
        other.append("evidence", "ann", evidence(), START.date(), START, book.office)
    assert other.verify().count == 10


def test_a_retired_key_signs_no_more(book: Book) -> None:
    """A key is valid by its place in the ledger: before its end its entries hold, after it nothing is signed."""
    key = book.key_of("tom")
    book.add("evidence", "ann", evidence(), by=key)
    book.add("key", "tom", Key(action="retire", key=key.id))
    with pytest.raises(InputError, match="key"):
        book.add("evidence", "ann", evidence(), by=key)
    assert book.ledger.verify().count == 7


def test_the_office_key_is_replaced_by_itself_or_by_the_recovery_key(book: Book) -> None:
    """After the change the old office key signs nothing and the new one does."""
    new, newest = envelope.new_key(), envelope.new_key()

    def change(old: SigningKey, to: SigningKey) -> Key:
        public = envelope.encode_base64url(to.public)
        return Key(action="replace", use="office", key=to.id, public=public, replaces=old.id)

    book.add("key", "", change(book.office, new), by=book.recovery)
    with pytest.raises(InputError, match="key"):
        book.add("evidence", "ann", evidence())
    book.add("key", "", change(new, newest), by=new)
    book.add("evidence", "ann", evidence(), by=newest)
    assert book.ledger.verify().office == newest.id


def test_the_office_key_cannot_replace_the_recovery_key(book: Book) -> None:
    """Who stole the office key cannot lock the owner out."""
    other = envelope.new_key()
    body = Key(
        action="replace", use="recovery", key=other.id, public=envelope.encode_base64url(other.public),
        replaces=book.recovery.id,
    )  # fmt: skip
    with pytest.raises(InputError, match="may not"):
        book.add("key", "", body)


def test_keys_do_only_their_owners_work(book: Book) -> None:
    """A trainer's key enters evidence, a decider's does not; nobody signs about himself; strangers sign nothing."""
    trainer, decider = book.key_of("tom"), book.key_of("dora")
    book.add("evidence", "ann", evidence(), by=trainer)
    for key, person in ((decider, "ann"), (trainer, "tom"), (envelope.new_key(), "ann"), (book.recovery, "ann")):
        with pytest.raises(InputError):
            book.add("evidence", person, evidence(by="dora"), by=key)


def test_entries_signed_with_a_stolen_key_are_to_be_confirmed(book: Book) -> None:
    """What was signed since the theft, and with keys added by the thief, is doubted; what came before is not."""
    before = book.add("evidence", "ann", evidence())
    since = book.add("evidence", "ann", evidence())
    planted = book.key_of("tom")
    by_planted = book.add("evidence", "ann", evidence(), by=planted)
    new = envelope.new_key()
    public = envelope.encode_base64url(new.public)
    change = Key(
        action="replace", use="office", key=new.id, public=public, replaces=book.office.id, since_entry=since
    )  # fmt: skip
    book.add("key", "", change, by=book.recovery)
    after = book.add("evidence", "ann", evidence(), by=new)
    state = book.ledger.verify()
    doubted = {number for number, fact in state.by_number.items() if state.may_be_forged(fact.entry)}
    assert {since, by_planted} <= doubted
    assert not {before, after} & doubted


def test_a_witness_is_found_in_either_spelling(book: Book) -> None:
    """A digest that was printed is found as base32 or hexadecimal, with blanks and dashes, in capitals or not."""
    state = book.ledger.verify()
    printed = witness_text(state.digests[2])
    for text in (printed, printed.lower(), printed.replace("-", " "), state.digests[2][:16], state.digests[2]):
        assert find_witness(text, state.digests) == 3
    with pytest.raises(VerificationError, match="older copy"):
        book.ledger.verify(["AAAA-AAAA-AAAA-AAAA"])
    for wrong in ("ABCD", "", "0" * 15, "ABCD-EFGH-IJKL-MN0P!"):
        with pytest.raises(InputError):
            book.ledger.verify([wrong])


def test_a_clock_in_the_far_future_is_asked_about(book: Book) -> None:
    """An entry more than 400 days after the last one wants a person's word that the clock is right."""
    far = START + timedelta(days=401)
    with pytest.raises(InputError, match="long-pause"):
        book.add("evidence", "ann", evidence(), at=far)
    book.ledger.long_pause_is_right = True
    book.add("evidence", "ann", evidence(), at=far)
    assert book.ledger.verify().count == 5
