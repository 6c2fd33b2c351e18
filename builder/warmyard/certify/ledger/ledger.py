"""The ledger of one office: a database of signed entries, and the same entries as files.

ledger.sqlite holds the table entries(number, record); entries/000001.json holds the same bytes, readable without
this tool. An entry is written in this order, each step on the disk before the next:
  entries/000124.json.new  ->  the database (one transaction)  ->  renamed to entries/000124.json  ->  acknowledged
So a process that dies leaves one of these, and each is clear:
  a .new file without a row         never entered; the next writer removes it
  a row with its .new file          entered; the next writer finishes the rename
  a row with neither, a .json file without a row, or other bytes in one of them: not from a crash, and refused.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.application import apply
from warmyard.certify.ledger.bodies import Body, KeyPair, Open
from warmyard.certify.ledger.database import (
    DATABASE,
    add_row,
    connected,
    counted_rows,
    make_table,
    rewrite,
    rows_from,
    verify_bytes,
    verify_count,
)
from warmyard.certify.ledger.entry import Entry, make_entry, read_entry
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.erasure import finish_erasures
from warmyard.certify.ledger.files import sync_folder, write_through
from warmyard.certify.ledger.folders import ENTRIES
from warmyard.certify.ledger.schemes import load_schemes, read_scheme
from warmyard.certify.ledger.side_files import verify_side_of, verify_sides
from warmyard.certify.ledger.state import State
from warmyard.certify.ledger.steps import (
    entry_files,
    read_folder,
    take_in,
    take_in_all,
    verified,
    verify_files,
    verify_numbers,
)
from warmyard.certify.ledger.verified_point import VerifiedPoint, digest_of, keep_point, kept_point
from warmyard.certify.ledger.witness import find_witness
from warmyard.errors import InputError, VerificationError, WarmyardError

LONGEST_PAUSE = timedelta(days=400)


@dataclass(frozen=True, slots=True)
class _Snapshot:
    """Rows and files as they stood at one moment."""

    rows: list[tuple[int, bytes]]
    expected: Mapping[str, bytes]
    """The files that the rows should have."""
    files: Mapping[str, bytes]
    counted: int
    database: bytes


class Ledger:
    """One ledger in one records folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._state = State()
        self.long_pause_is_right = False
        """Set when somebody has looked at the clock: an entry from a wrong future would stop all others until then."""

    @classmethod
    def open(cls, folder: Path) -> Ledger:
        """Return the ledger of a records folder; raise InputError when there is none."""
        if not (folder / DATABASE).is_file():
            raise InputError(f"there is no ledger in {folder}; make one with `warmyard demo` or name another folder")
        return cls(folder)

    @classmethod
    def create(cls, folder: Path, office: SigningKey, recovery: SigningKey, recorded_at: datetime) -> Ledger:
        """Return a new ledger whose first entry pins the two keys; raise InputError when there is one already.

        Without that entry nothing of it is left.
        """
        folder.mkdir(parents=True, exist_ok=True)
        if (folder / DATABASE).exists() or ENTRIES.at(folder).exists():
            raise InputError(f"there is a ledger in {folder} already; name another folder")
        ENTRIES.at(folder).mkdir()
        ledger = cls(folder)
        try:
            with connected(folder, write=True, new=True) as connection:
                make_table(connection)
            body = Open(office=_pair(office), recovery=_pair(recovery))
            ledger.append("open", "", body, recorded_at.date(), recorded_at, office)
        except Exception:
            with contextlib.suppress(OSError):
                (folder / DATABASE).unlink(missing_ok=True)
                ENTRIES.at(folder).rmdir()
            raise
        return ledger

    @property
    def state(self) -> State:
        """What the ledger said when it was last verified or written; it is verified first when it never was."""
        return self._state if self._state.count else self.verify()

    def append(
        self,
        kind: str,
        person: str,
        body: Body | Mapping[str, Any] | Callable[[State], Body],
        effective_on: date,
        recorded_at: datetime,
        signer: SigningKey,
    ) -> tuple[Entry, State]:
        """Return the new entry, on the disk and in the database, and what the ledger says with it.

        A `body` that is made from the state is made from the newest one, when nobody else can write.
        Everything is looked at before anything changes: raises InputError when the entry may not stand here or the
        clock went back, VerificationError when the ledger that it would extend is broken, and then nothing is written
        and the state stays as it was.
        """
        if recorded_at.tzinfo is None:
            raise InputError("the recorded time has no time zone")
        with connected(self.folder, write=True) as connection:
            connection.execute("BEGIN IMMEDIATE")
            state = self._catch_up(connection)
            self._settle(state.count)
            finish_erasures(self.folder, state)
            last = state.last_recorded_at
            if last is not None and recorded_at.replace(microsecond=0) < last:
                raise InputError(f"the last entry was recorded at {last.isoformat()}; set this machine's clock")
            if last is not None and recorded_at - last > LONGEST_PAUSE and not self.long_pause_is_right:
                raise InputError(
                    f"the last entry was recorded at {last.isoformat()}, this machine says {recorded_at.isoformat()}; "
                    "set the clock, or if it is right enter a fact with `warmyard enter ... --long-pause`"
                )
            made = body(state) if callable(body) else body
            plain = msgspec.to_builtins(made) if isinstance(made, msgspec.Struct) else dict(made)
            entry = make_entry(
                number=state.count + 1, previous=state.tip, recorded_at=recorded_at, effective_on=effective_on,
                kind=kind, person=person, body=plain, signer=signer,
            )  # fmt: skip
            try:
                fact = verified(state, entry)
                verify_side_of(self.folder, fact)
                scheme = read_scheme(self.folder, fact) if fact.body.adopts else None
            except VerificationError as problem:
                raise InputError(f"not entered: {problem.what}") from None
            self._write(connection, entry)
            apply(state, fact)
            if scheme is not None:
                state.schemes[fact.body.digest] = scheme
        return entry, state

    def _write(self, connection: sqlite3.Connection, entry: Entry) -> None:
        path = self._path(entry.number)
        fresh = path.with_name(path.name + ".new")
        try:
            write_through(fresh, entry.record)
            add_row(connection, entry.number, entry.record)
            connection.execute("COMMIT")
        except (OSError, sqlite3.Error) as problem:
            with contextlib.suppress(sqlite3.Error):
                connection.execute("ROLLBACK")
            with contextlib.suppress(OSError):
                fresh.unlink()
            raise InputError(f"nothing was entered: the records folder cannot be written ({problem})") from None
        # From here on the entry is entered, whatever happens to its file's name: the next writer finishes it, and a
        # caller who heard of a failure would take away the side file of an entry that stands.
        with contextlib.suppress(OSError):
            _finish_name(fresh, path)
            sync_folder(path.parent)

    def _path(self, number: int) -> Path:
        return ENTRIES.at(self.folder) / f"{number:06}.json"

    def _catch_up(self, connection: sqlite3.Connection) -> State:
        """Admit the rows that were not admitted yet, and return the state at the tip."""
        state = self._state
        rows = rows_from(connection, state.count)
        if state.count:
            if not rows or rows[0][0] != state.count or envelope.digest(rows[0][1]) != state.tip:
                raise VerificationError("step 4, chain", f"entry {state.count} is not the one that stood there before")
            rows = rows[1:]
        for number, record in rows:
            take_in(state, number, record)
        verify_count(state.count, counted_rows(connection))
        return state

    def _settle(self, count: int) -> None:
        """Finish or remove what a writer left that died; only under the write lock."""
        last = self._path(count)
        fresh = last.with_name(last.name + ".new")
        with contextlib.suppress(FileNotFoundError):
            if count and not last.exists() and envelope.digest(fresh.read_bytes()) == self._state.tip:
                _finish_name(fresh, last)
        # Writers take turns, so only the last entry and the next can have left one; a full listing would cost
        # as much as the ledger is long at every entry.
        for left in (fresh, self._path(count + 1).with_name(f"{self._path(count + 1).name}.new")):
            left.unlink(missing_ok=True)

    def entries(self) -> tuple[Entry, ...]:
        """Return all entries as they stand in the database, not verified; call `verify` first to believe them."""
        with connected(self.folder, write=False) as connection:
            return tuple(read_entry(record) for _, record in rows_from(connection, 0))

    def verify(self, witnesses: Iterable[str] = ()) -> State:
        """Return what the ledger says, or raise VerificationError that names the first bad entry and the step.

        Step 1, database: ledger.sqlite opens, its rows are numbered 1, 2, 3 ... without a gap, and there are as many
        as its header counts (who deletes the last entry must know of it; step 11 finds the one who does).
        Step 2, files: every row has its file with the same bytes, and no file is without a row.
        Step 3, form: the record is canonical JSON with exactly the parts of an entry.
        Step 4, chain: the number is the next one, and `previous` is the digest of the record before.
        Step 5, time: the recorded time is not before that of the entry before.
        Step 6, key: the key that signed holds at this place (the first entry pins its own).
        Step 7, signature: the Ed25519 signature is that key's over the signed bytes.
        Step 8, place: the kind, its body, its people and its signer may stand at this place.
        Step 9, side files: schemes and side files have the bytes that their entries bind, or the person was erased.
        Step 10, database bytes: ledger.sqlite holds the very bytes that its rows make, nothing between them.
        Step 11, witness: every digest printed earlier is that of an entry of this ledger.
        """
        state = self._believed(self._snapshot())
        for printed in witnesses:
            find_witness(printed, state.digests)
        self._state = state
        return state

    def read(self, points: Path | None) -> State:
        """Return what the ledger says for somebody who only looks: as `verify`, but fast where a verified point for it
        is kept in the folder `points`; and keep one there.

        Under a point steps 3, 7 and 10 are taken for what came after it (see `verified_point`), the others for
        everything. Where anything fails the point is forgotten, and told is what `verify` tells. Nothing is entered
        upon this state: `append` takes every step itself.
        """
        snapshot = self._snapshot()
        database = envelope.digest(snapshot.database)
        point = kept_point(points, self.folder)
        state = self._read_from(point, snapshot, database) if point is not None else None
        if state is None:
            state = self._believed(snapshot)
        made = VerifiedPoint(state.count, digest_of(state.digests), database)
        if made != point:
            keep_point(points, self.folder, made)
        return state

    def _read_from(self, point: VerifiedPoint, snapshot: _Snapshot, database: str) -> State | None:
        """Return what the ledger says under a point, or None when the point is not of these bytes or anything fails."""
        try:
            state = self._read_entries(snapshot, point.count)
            if len(state.digests) < point.count or digest_of(state.digests[: point.count]) != point.records:
                return None
            if database != point.database:
                verify_bytes(snapshot.database, snapshot.rows)
        except WarmyardError:
            return None
        return state

    def _believed(self, snapshot: _Snapshot) -> State:
        """Steps 1 to 10."""
        state = self._read_entries(snapshot)
        verify_bytes(snapshot.database, snapshot.rows)
        return state

    def _read_entries(self, snapshot: _Snapshot, seen: int = 0) -> State:
        """Steps 1 to 9."""
        verify_numbers(snapshot.rows)
        verify_files(snapshot.expected, snapshot.files)
        state = take_in_all(snapshot.rows, seen)
        verify_count(len(snapshot.rows), snapshot.counted)
        load_schemes(self.folder, state)
        verify_sides(self.folder, state)
        return state

    def mend(self) -> State:
        """Write the database anew when only bytes that hold no entry differ (step 10), and return the verified state.

        Raises VerificationError, and writes nothing, when any entry is at fault.
        """
        self._read_entries(self._snapshot())
        rewrite(self.folder)
        return self.verify()

    def _snapshot(self) -> _Snapshot:
        # A reader's lock keeps writers from committing while rows and files are read, so the two fit together.
        with connected(self.folder, write=False) as connection:
            connection.execute("BEGIN")
            rows, counted = rows_from(connection, 0), counted_rows(connection)
            expected = entry_files(rows)
            try:
                files = read_folder(ENTRIES.at(self.folder), expected)
                if rows and f"{rows[-1][0]:06}.json" not in files:
                    with contextlib.suppress(FileNotFoundError):
                        files[f"{rows[-1][0]:06}.json"] = self._path(rows[-1][0]).read_bytes()
            except OSError as problem:
                raise VerificationError("step 2, files", f"the entry files cannot be read ({problem})") from None
            return _Snapshot(rows, expected, files, counted, connection.serialize())


def _finish_name(fresh: Path, path: Path) -> None:
    """Give an entered record its name; the next writer may have done it between our commit and now."""
    try:
        os.replace(fresh, path)
    except FileNotFoundError:
        if not path.exists():
            raise


def _pair(key: SigningKey) -> KeyPair:
    return KeyPair(id=key.id, public=envelope.encode_base64url(key.public))
