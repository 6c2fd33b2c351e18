"""ledger.sqlite: one table of numbered records, written so that a copy is whole and an acknowledged row stays.

The journal is a rollback journal, synchronous=EXTRA. The header's user version counts the rows, in the transaction
of each. The file holds nothing else: its bytes are those that SQLite makes of the same rows in the same order, so that
a changed byte is found even where it carries no record.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path

from warmyard.errors import InputError, VerificationError

DATABASE = "ledger.sqlite"
WAIT_FOR_OTHERS_S = 60.0
STEP = "step 1, database"
BYTES_STEP = "step 10, database bytes"
_TABLE = "CREATE TABLE entries (number INTEGER PRIMARY KEY, record BLOB NOT NULL)"
_PAGE_BYTES = 4096
# Two counters of the header and the number of the SQLite library that wrote last say nothing about rows
# (SQLite file format, section 1.3).
_CHANGES, _VALID_FOR, _LIBRARY = slice(24, 28), slice(92, 96), slice(96, 100)


@contextlib.contextmanager
def connected(folder: Path, *, write: bool, new: bool = False) -> Iterator[sqlite3.Connection]:
    """Give a connection; raise VerificationError when the file is no ledger, InputError when it cannot be written."""
    path = folder / DATABASE
    # A journal left by a killed writer is rolled back by whoever opens the file next, which needs writing.
    mode = "rwc" if new else "rw" if write or path.with_name(DATABASE + "-journal").exists() else "ro"
    try:
        connection = sqlite3.connect(
            f"{path.resolve().as_uri()}?mode={mode}", uri=True, timeout=WAIT_FOR_OTHERS_S, isolation_level=None
        )
    except sqlite3.Error as problem:
        raise _as_fault(problem, write=write) from None
    try:
        if write:
            connection.execute("PRAGMA journal_mode=DELETE")
            connection.execute("PRAGMA synchronous=EXTRA")
        yield connection
    except UnicodeDecodeError:
        # A changed byte may turn a record into text of no language.
        raise VerificationError(STEP, "ledger.sqlite cannot be read (a row holds no bytes of a record)") from None
    except sqlite3.Error as problem:
        raise _as_fault(problem, write=write) from None
    finally:
        connection.close()


def _as_fault(problem: sqlite3.Error, *, write: bool) -> InputError | VerificationError:
    blocked = ("locked", "readonly", "unable to open", "full", "I/O") if write else ("locked",)
    if isinstance(problem, sqlite3.OperationalError) and any(word in str(problem) for word in blocked):
        return InputError(f"the ledger cannot be used now ({problem}); nothing was entered, try again")
    return VerificationError(STEP, f"ledger.sqlite cannot be read ({problem})")


def make_table(connection: sqlite3.Connection) -> None:
    """Lay out an empty ledger."""
    connection.execute(f"PRAGMA page_size = {_PAGE_BYTES}")
    connection.execute("PRAGMA auto_vacuum = NONE")
    connection.execute(_TABLE)


def add_row(connection: sqlite3.Connection, number: int, record: bytes) -> None:
    """Insert a row and count it; part of the caller's transaction."""
    connection.execute("INSERT INTO entries VALUES (?, ?)", (number, record))
    connection.execute(f"PRAGMA user_version = {number:d}")


def rows_from(connection: sqlite3.Connection, number: int) -> list[tuple[int, bytes]]:
    """Return rows from a number on, in order."""
    query = "SELECT number, record FROM entries WHERE number >= ? ORDER BY number"
    return connection.execute(query, (number,)).fetchall()


def counted_rows(connection: sqlite3.Connection) -> int:
    """Return how many rows the header counts."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def verify_count(rows: int, counted: int) -> None:
    """Raise VerificationError unless there are as many rows as were written."""
    if rows != counted:
        raise VerificationError(STEP, f"{counted} entries were written and {rows} are there")


def verify_bytes(file: bytes, rows: Sequence[tuple[int, bytes]]) -> None:
    """Raise VerificationError unless a database file has the very bytes that its rows make."""
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as memory:
        make_table(memory)
        memory.execute("BEGIN")
        memory.executemany("INSERT INTO entries VALUES (?, ?)", rows)
        memory.execute(f"PRAGMA user_version = {len(rows):d}")
        memory.execute("COMMIT")
        made = memory.serialize()
    library = int.from_bytes(file[_LIBRARY], "big")
    counters_fit = file[_CHANGES] == file[_VALID_FOR] and 3_000_000 <= library < 4_000_000
    if not counters_fit or _without_counters(file) != _without_counters(made):
        what = "ledger.sqlite has changed bytes that hold no entry; every entry is sound. Find out who touched the file"
        raise VerificationError(BYTES_STEP, f"{what}, then write it anew with `warmyard ledger mend`")


def _without_counters(file: bytes) -> bytes:
    return file[: _CHANGES.start] + file[_CHANGES.stop : _VALID_FOR.start] + file[_LIBRARY.stop :]


def rewrite(folder: Path) -> None:
    """Write the database anew from its own rows, in one transaction."""
    with connected(folder, write=True) as connection:
        connection.execute("VACUUM")
        connection.execute("PRAGMA schema_version = 1")
