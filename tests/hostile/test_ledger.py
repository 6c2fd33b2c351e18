"""Attacks on the ledger's own bytes: whatever is changed, the first bad entry is named and nobody is cleared."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from demo_records import Demo
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from warmyard.certify.acts.correction import VoidFile, enter_void
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.database import DATABASE, add_row
from warmyard.certify.ledger.entry import Entry, make_entry
from warmyard.certify.ledger.folders import ENTRIES
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.witness import witness_text
from warmyard.cli.main import main
from warmyard.errors import VerificationError

NAMES = ("asta", "bram", "cleo", "dane", "edda", "Asta", "Fellweather", "Okonedo", "Marrowby", "Whitlocke", "Vossberg")


def file_of(records: Path, number: int) -> Path:
    """Return the file of an entry."""
    return ENTRIES.at(records) / f"{number:06}.json"


def in_database(records: Path, *statements: str) -> None:
    """Change the database behind the ledger's back."""
    with sqlite3.connect(records / DATABASE) as connection:
        for statement in statements:
            connection.execute(statement)


def flip(data: bytes, at: int) -> bytes:
    """Return bytes with one bit of one byte changed."""
    return data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]


def both(records: Path, number: int, record: bytes) -> None:
    """Write other bytes for an entry into its file and into the database."""
    file_of(records, number).write_bytes(record)
    with sqlite3.connect(records / DATABASE) as connection:
        connection.execute("UPDATE entries SET record = ? WHERE number = ?", (record, number))


def void_evidence(target: Demo, which: int = 0) -> None:
    """Enter something: a piece of evidence counts no longer."""
    numbers = [number for number, fact in sorted(target.state().by_number.items()) if fact.entry.kind == "evidence"]
    enter_void(target.desk(), VoidFile(entry=numbers[which], because="mistake"))


def last_of(records: Path) -> int:
    """Return the number of the last entry."""
    return len(list((ENTRIES.at(records)).iterdir()))


def drop_last(records: Path) -> None:
    """Delete the last entry from database and folder, but not from the header's count."""
    number = last_of(records)
    in_database(records, f"DELETE FROM entries WHERE number = {number}")
    file_of(records, number).unlink()


def swap(records: Path, first: int, second: int) -> None:
    """Exchange two entries, in database and folder."""
    one, two = file_of(records, first).read_bytes(), file_of(records, second).read_bytes()
    both(records, first, two)
    both(records, second, one)


ATTACKS: dict[str, tuple[Callable[[Path], object], str]] = {
    "a byte of a file flipped": (lambda r: file_of(r, 9).write_bytes(flip(file_of(r, 9).read_bytes(), 40)), "entry 9"),
    "a byte flipped in file and database": (lambda r: both(r, 9, flip(file_of(r, 9).read_bytes(), 60)), "entry 9"),
    "a byte of a signature flipped": (lambda r: both(r, 9, flip(file_of(r, 9).read_bytes(), -20)), "entry 9"),
    "the last row deleted": (lambda r: in_database(r, f"DELETE FROM entries WHERE number = {last_of(r)}"), "entry"),
    "the last row and its file deleted": (drop_last, "entries were written"),
    "a middle row deleted": (lambda r: in_database(r, "DELETE FROM entries WHERE number = 20"), "entry 20"),
    "a row and its file deleted": (
        lambda r: (in_database(r, "DELETE FROM entries WHERE number = 20"), file_of(r, 20).unlink()),
        "entry 20",
    ),
    "a file deleted": (lambda r: file_of(r, 7).unlink(), "entry 7"),
    "the last file deleted": (lambda r: file_of(r, last_of(r)).unlink(), "entry"),
    "two entries swapped": (lambda r: swap(r, 12, 13), "entry 12"),
    "an entry doubled": (lambda r: both(r, 13, file_of(r, 12).read_bytes()), "entry 13"),
    "numbers moved on": (lambda r: in_database(r, "UPDATE entries SET number = number + 1000"), "entry"),
    "a file without a row": (lambda r: shutil.copy(file_of(r, 12), file_of(r, last_of(r) + 1)), "entry"),
    "a stranger's file among the entries": (lambda r: (ENTRIES.at(r) / "notes.txt").write_text("x"), "no entry"),
    "a longer record": (lambda r: both(r, 9, file_of(r, 9).read_bytes() + b" "), "entry 9"),
    "a record of blanks": (lambda r: both(r, 9, b" " * 500), "entry 9"),
    "an empty record": (lambda r: both(r, 9, b""), "entry 9"),
    "a huge record": (lambda r: both(r, 9, b"{" * 300_000), "entry 9"),
    "the table emptied": (lambda r: in_database(r, "DELETE FROM entries"), "entry"),
    "the table dropped": (lambda r: in_database(r, "DROP TABLE entries"), "database"),
    "a view in its place": (
        lambda r: in_database(r, "DROP TABLE entries", "CREATE VIEW entries AS SELECT 1 AS number, 'x' AS record"),
        "entry",
    ),
    "the database emptied": (lambda r: (r / DATABASE).write_bytes(b""), "database"),
    "the database replaced by text": (lambda r: (r / DATABASE).write_text("not a database" * 100), "database"),
    "the database cut in half": (
        lambda r: (r / DATABASE).write_bytes((r / DATABASE).read_bytes()[: (r / DATABASE).stat().st_size // 2]),
        "",
    ),
    "the folder of entries gone": (lambda r: shutil.rmtree(ENTRIES.at(r)), "files"),
    "a text instead of bytes": (
        lambda r: in_database(r, "UPDATE entries SET record = CAST(record AS TEXT) WHERE number = 5"),
        "entry 5",
    ),
    "a side file changed": (lambda r: next((r / "people" / "asta").iterdir()).write_bytes(b"{}"), "side file"),
    "a side file deleted": (lambda r: next((r / "people" / "asta").iterdir()).unlink(), "side file"),
    "the adopted scheme changed": (lambda r: next((r / "schemes").iterdir()).write_bytes(b"{}"), "scheme"),
    "the adopted scheme deleted": (lambda r: next((r / "schemes").iterdir()).unlink(), "scheme"),
}


@pytest.mark.parametrize("name", ATTACKS)
def test_attack(target: Demo, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The verification fails with a step, `clearance` and `ledger verify` end with 3, and nobody is named.

    The board was asked before, so that there is a verified point of the ledger as it was.
    """
    attack, named = ATTACKS[name]
    assert main(["clearance", "--records", str(target.records)]) == 0
    capsys.readouterr()
    attack(target.records)
    problem = target.broken()
    assert problem.step.startswith("step ")
    assert named in str(problem)
    for words in (["clearance"], ["ledger", "verify"], ["clearance", "--json", "--person", "asta"]):
        assert main([*words, "--records", str(target.records)]) == 3
        seen = capsys.readouterr()
        assert seen.out == ""
        assert not [name for name in NAMES if name in seen.err]


def test_the_last_entry_deleted_everywhere_is_found_by_its_witness(target: Demo) -> None:
    """A rolled-back copy is whole in itself; only a digest printed earlier finds it, and then it is refused."""
    before = target.records.with_name("before")
    shutil.copytree(target.records, before)
    void_evidence(target)
    printed = witness_text(target.state().tip)
    shutil.rmtree(target.records)
    before.rename(target.records)
    assert target.state().count == last_of(target.records)
    assert target.broken(printed).step == "step 11, witness"


def test_an_older_copy_brought_back_is_found_by_its_witness(
    target: Demo, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A board printed today does not fit yesterday's copy: exit 3, and nobody is named."""
    copy = tmp_path / "copy"
    shutil.copytree(target.records, copy)
    void_evidence(target)
    printed = witness_text(target.state().tip)
    assert main(["ledger", "verify", "--witness", printed, "--records", str(target.records)]) == 0
    capsys.readouterr()
    assert main(["ledger", "verify", "--witness", printed, "--records", str(copy)]) == 3
    seen = capsys.readouterr()
    assert (seen.out, "step 11" in seen.err) == ("", True)


def test_a_forked_ledger_is_found_by_its_witness(target: Demo, tmp_path: Path) -> None:
    """Two copies that went on separately are both whole; the witness of one does not fit the other."""
    other = type(target)(tmp_path / "fork", target.made)
    shutil.copytree(target.records, other.records)
    void_evidence(target)
    void_evidence(other, 1)
    assert other.broken(witness_text(target.state().tip)).step == "step 11, witness"


def resigned(records: Path, number: int, key: envelope.SigningKey, **changes: object) -> bytes:
    """Return an entry with changes, signed again with a key."""
    entry: Entry = Ledger.open(records).entries()[number - 1]
    parts: dict[str, object] = {
        "number": entry.number, "previous": entry.previous, "recorded_at": entry.recorded_at,
        "effective_on": entry.effective_on, "kind": entry.kind, "person": entry.person, "body": entry.body,
        **changes,
    }  # fmt: skip
    return make_entry(signer=key, **parts).record  # type: ignore[arg-type]


def test_an_entry_signed_again_with_the_forgers_key(target: Demo) -> None:
    """A forger's own key is not the ledger's."""
    both(target.records, 20, resigned(target.records, 20, envelope.new_key()))
    assert target.broken().step == "step 6, key"


def test_an_entry_rewritten_with_the_office_key_breaks_the_chain(target: Demo) -> None:
    """Even who holds the office key cannot change an entry in the middle: the next one points at the old bytes."""
    entry = next(entry for entry in Ledger.open(target.records).entries() if entry.kind == "evidence")
    number, body = entry.number, {**entry.body, "count": 41}
    both(target.records, number, resigned(target.records, number, target.key("office"), body=body))
    assert str(target.broken()).startswith(f"step 4, chain: entry {number + 1}")


def test_a_decision_signed_with_the_office_key(target: Demo) -> None:
    """The office cannot decide: a decision is the decider's own signature."""
    ledger = Ledger.open(target.records)
    grant = next(entry for entry in ledger.entries() if entry.kind == "decision")
    body = {**grant.body, "certificate": "c-forged", "index": 7}
    with pytest.raises(Exception, match="may not sign"):
        ledger.append("decision", "dane", body, target.made.date(), target.made, target.key("office"))


def test_an_entry_of_another_ledger(target: Demo, tmp_path: Path) -> None:
    """An entry carried over from another office does not follow the one before it."""
    key = envelope.new_key()
    other = Ledger.create(tmp_path / "other", key, envelope.new_key(), target.made)
    number = last_of(target.records) + 1
    record = other.entries()[0].record
    file_of(target.records, number).write_bytes(record)
    with sqlite3.connect(target.records / DATABASE) as connection:
        add_row(connection, number, record)
    assert target.broken().step == "step 4, chain"


def test_nothing_is_added_to_a_broken_ledger(target: Demo) -> None:
    """Who would append to a ledger with a bad entry is refused too."""
    both(target.records, 9, flip(file_of(target.records, 9).read_bytes(), 60))
    ledger = Ledger.open(target.records)
    with pytest.raises(VerificationError, match="entry 9"):
        ledger.append("erase", "asta", {"because": "x"}, target.made.date(), target.made, target.key("office"))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_changed_byte_of_an_entry_file_is_found(target: Demo, data: st.DataObject) -> None:
    """Change, cut off or add one byte in any entry file: the verification names an entry."""
    number = data.draw(st.integers(1, last_of(target.records)))
    path = file_of(target.records, number)
    before = path.read_bytes()
    at = data.draw(st.integers(0, len(before) - 1))
    way = data.draw(st.sampled_from(["change", "remove", "add"]))
    other = bytes([data.draw(st.integers(0, 255).filter(lambda value: value != before[at]))])
    tail = {"change": before[at + 1 :], "remove": before[at + 1 :], "add": before[at:]}[way]
    path.write_bytes(before[:at] + (b"" if way == "remove" else other) + tail)
    try:
        assert f"entry {number}" in str(target.broken())
    finally:
        path.write_bytes(before)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_changed_byte_of_the_database_is_found(target: Demo, data: st.DataObject) -> None:
    """Change any byte of ledger.sqlite, used or not: the verification fails.

    Left out are the four bytes in which SQLite notes its own version (file format, offset 96): they may be any.
    """
    path = target.records / DATABASE
    before = path.read_bytes()
    at = data.draw(st.integers(0, len(before) - 1).filter(lambda place: not 96 <= place < 100))
    other = data.draw(st.integers(0, 255).filter(lambda value: value != before[at]))
    path.write_bytes(before[:at] + bytes([other]) + before[at + 1 :])
    try:
        target.broken()
    finally:
        path.write_bytes(before)


def test_a_byte_that_holds_no_entry_is_found_and_mended(target: Demo, capsys: pytest.CaptureFixture[str]) -> None:
    """A changed byte between the rows is step 10; `ledger mend` writes the file anew, and refuses a bad entry."""
    path = target.records / DATABASE
    raw = bytearray(path.read_bytes())
    free = raw.index(bytes(40), 4096)
    raw[free + 20] = 7
    path.write_bytes(raw)
    assert target.broken().step == "step 10, database bytes"
    assert main(["clearance", "--records", str(target.records)]) == 3
    assert main(["ledger", "mend", "--records", str(target.records)]) == 0
    assert target.state().count == last_of(target.records)
    both(target.records, 9, flip(file_of(target.records, 9).read_bytes(), 60))
    assert main(["ledger", "mend", "--records", str(target.records)]) == 3
