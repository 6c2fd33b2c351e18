"""The steps of a verification that look at rows, entry files and entries; `Ledger.verify` says what each one is."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.admission import place_entry
from warmyard.certify.ledger.application import apply
from warmyard.certify.ledger.entry import LARGEST_RECORD_BYTES, Entry, read_again, read_entry
from warmyard.certify.ledger.state import Fact, State
from warmyard.cores import nothing_collected
from warmyard.errors import VerificationError
from warmyard.formats.register import NewerFormatError

_FILE = re.compile(r"([0-9]{6,12})\.json(\.new)?\Z")
_STEPS = {
    "form": "step 3, form",
    "chain": "step 4, chain",
    "time": "step 5, time",
    "key": "step 6, key",
    "signature": "step 7, signature",
    "place": "step 8, place",
}
# Not through a link, even one that was put there since the folder was listed; as bytes on every system.
_PLAINLY = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
# From the open folder a name is found in fewer steps, and in no other folder that was put into its place.
FROM_FOLDER = os.open in os.supports_dir_fd and os.scandir in os.supports_fd


def entry_files(rows: Sequence[tuple[int, bytes]]) -> dict[str, bytes]:
    """Return name -> bytes of the files that rows should have."""
    return {f"{number:06}.json": record for number, record in rows}


def read_folder(folder: Path, expected: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return name -> bytes of all that stands in the folder of entries; raise for anything but plain files.

    One that holds what is `expected` is that object itself, so that the same bytes are not kept twice. What is gone
    when it is read, a finished .new file, is left out.
    """
    files = dict[str, bytes]()
    within = os.open(folder, os.O_RDONLY) if FROM_FOLDER else None
    try:
        with os.scandir(folder if within is None else within) as items:
            for item in items:
                try:
                    files[item.name] = _read_plain(item, expected.get(item.name), within)
                except FileNotFoundError:
                    continue
    finally:
        if within is not None:
            os.close(within)
    return files


def _read_plain(item: os.DirEntry[str], expected: bytes | None, within: int | None) -> bytes:
    """Return a file of the folder of entries, one byte more than a record may have at most; nothing but plain files."""
    if not item.is_file(follow_symlinks=False):
        raise VerificationError("step 2, files", "among the entries stands something that is no plain file")
    # Fifty thousand are read for every answer: without the buffers of `open` in half the time.
    handle = os.open(item.path, _PLAINLY, dir_fd=within)
    try:
        data = os.read(handle, LARGEST_RECORD_BYTES + 1)
        if data == expected:
            return expected
        # A disk over a network may give a file in parts.
        while len(data) <= LARGEST_RECORD_BYTES and (more := os.read(handle, LARGEST_RECORD_BYTES + 1)):
            data += more
        return data
    finally:
        os.close(handle)


def verify_numbers(rows: Sequence[tuple[int, bytes]]) -> None:
    """Step 1: raise VerificationError unless rows are numbered 1, 2, 3 ... without a gap."""
    if not rows:
        raise VerificationError("step 1, database", "the ledger is empty; not even entry 1 is there")
    for expected, (number, _) in enumerate(rows, start=1):
        if number != expected:
            raise VerificationError("step 1, database", f"entry {expected} is missing or misnumbered")


def verify_files(expected: Mapping[str, bytes], files: Mapping[str, bytes]) -> None:
    """Step 2: raise VerificationError unless every row has its file with the same bytes, and no file is left over.

    `expected` are the files of the rows, which are numbered without a gap.
    """
    if files == expected:
        return
    for name in files:
        if name in expected:
            continue
        match = _FILE.match(name)
        if not match or not match.group(2):
            number = int(match.group(1)) if match else 0
            what = f"entry {number} stands in its file but not in the database" if match else "a file that is no entry"
            raise VerificationError("step 2, files", what)
    last = len(expected)
    for number, (name, record) in enumerate(expected.items(), start=1):
        found = files.get(name)
        if found is None and number == last:
            found = files.get(name + ".new")
        if found is None:
            raise VerificationError("step 2, files", f"the file of entry {number} is missing")
        if found != record:
            raise VerificationError("step 2, files", f"entry {number} differs between its file and the database")


def take_in_all(rows: Sequence[tuple[int, bytes]], seen: int = 0) -> State:
    """Steps 3 to 8 of every row: return what they say; raise VerificationError that names the first bad one.

    Of the first entries, as many as were `seen`, somebody says that form and signature were found good. Of those only
    the last one of each key is looked at: its signature is over the digest of all that stands before it, so the owner
    of the key has signed for every earlier entry under it. The other steps are taken whatever is said.
    """
    state, last_of_key = State(), dict[str, Entry]()
    with nothing_collected():
        for number, record in rows[:seen]:
            entry = take_in(state, number, record, is_seen=True)
            last_of_key[entry.key] = entry
        for entry in last_of_key.values():
            verify_seen(state, entry)
        for number, record in rows[seen:]:
            take_in(state, number, record)
    return state


def verify_seen(state: State, seen: Entry) -> None:
    """Steps 3 and 7 of an entry that was taken in without them."""
    try:
        entry = read_entry(seen.record)
        envelope.verify(state.keys[entry.key].public, entry.signed, entry.signature)
    except (NewerFormatError, VerificationError) as problem:
        raise _named(problem, seen.number) from None


def take_in(state: State, number: int, record: bytes, *, is_seen: bool = False) -> Entry:
    """Steps 3 to 8 of the next row: apply it to the state and return its entry; raise VerificationError that names it.

    `is_seen` spares its form and signature, steps 3 and 7, and nothing else.
    """
    expected = state.count + 1
    if number != expected or not isinstance(record, bytes):
        raise VerificationError("step 1, database", f"entry {expected} is missing or misnumbered")
    try:
        entry = read_again(record) if is_seen else read_entry(record)
        apply(state, verified(state, entry, is_seen=is_seen))
    except (NewerFormatError, VerificationError) as problem:
        raise _named(problem, expected) from None
    return entry


def _named(problem: NewerFormatError | VerificationError, number: int) -> NewerFormatError | VerificationError:
    """Return what was raised about an entry with its number and step."""
    if isinstance(problem, NewerFormatError):
        return NewerFormatError(f"entry {number}: {problem}")
    return VerificationError(_STEPS.get(problem.step, problem.step), f"entry {number}: {problem.what}")


def verified(state: State, entry: Entry, *, is_seen: bool = False) -> Fact[Any]:
    """Return an entry with its body after steps 4 to 8; nothing changes."""
    if entry.number != state.count + 1 or entry.previous != state.tip:
        raise VerificationError("chain", "it does not follow the entry before it")
    if state.last_recorded_at is not None and entry.recorded_at < state.last_recorded_at:
        raise VerificationError("time", "it was recorded before the entry before it")
    if entry.number == 1:
        public = _pinned_public(entry)
    else:
        key = state.key_at(entry.key)
        if key is None:
            raise VerificationError("key", "the key that signed it does not hold at this place")
        public = key.public
    if not is_seen:
        envelope.verify(public, entry.signed, entry.signature)
    return place_entry(state, entry)


def _pinned_public(entry: Entry) -> bytes:
    office = entry.body.get("office")
    public = office.get("public") if isinstance(office, dict) else None
    if not isinstance(public, str):
        raise VerificationError("place", "the first entry pins no office key")
    return envelope.decode_base64url(public)
