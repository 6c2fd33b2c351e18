"""The verified point: which bytes of a ledger were found good before, so that the next look at them costs less.

It is one line in the user's cache folder, never in the records folder:
  warmyard-verified-1 CODE COUNT RECORDS DATABASE
RECORDS is a digest over every byte of the first COUNT records, DATABASE one over every byte of ledger.sqlite, CODE one
over our code, Python and the libraries that verify. What was found is a pure function of these three, and a point of
other bytes or other code is no point. It holds no state and no answer.

`Ledger.read` uses it for what can be said of bytes by themselves: the form of a record (step 3), its signature (step 7)
and the bytes between the records (step 10). All else is looked at each time: the files, the chain, times, keys, places,
side files. So is the last signature of each key. A forged point puts nobody's name under what that person did not sign:
the signature is over the digest of all that stands before it.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from warmyard.course.stamp import LIBRARIES, digest_code
from warmyard.kept import keep_file

FORMAT = "warmyard-verified-1"
FOLDER = "verified"
KEY_LETTERS = 32
VERIFIES_WITH = (*LIBRARIES, "cryptography", "rfc8785")
_LINE = re.compile(
    FORMAT.encode() + rb" ([0-9a-f]{64}) ([1-9][0-9]{0,8}) ([0-9a-f]{64}) ([0-9a-f]{64})\n\Z",
)
_LARGEST_BYTES = 300
_WRITABLE_BY_OTHERS = stat.S_IWGRP | stat.S_IWOTH
# A pipe in its place is not waited for, a link not followed.
_PLAINLY = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


@dataclass(frozen=True, slots=True)
class VerifiedPoint:
    """How many entries, from the first, were found good, and the bytes of these and of the database, by digest."""

    count: int
    records: str
    database: str


def digest_of(digests: Sequence[str]) -> str:
    """Return the digest of records by the digest of each: no two lists of records run into one another."""
    return hashlib.sha256("".join(digests).encode("ascii")).hexdigest()


def kept_point(points: Path | None, records: Path) -> VerifiedPoint | None:
    """Return the point of a records folder that this very code kept, or None.

    None too when the file or its folder is somebody else's or others may write there, when it is a link or no plain
    file, cannot be read, or is not one whole line.
    """
    file = _file(points, records)
    if file is None:
        return None
    try:
        line = _read_ours(file) if _is_ours(os.lstat(file.parent), stat.S_ISDIR) else b""
    except OSError:
        return None
    found = _LINE.match(line)
    if found is None or found[1].decode() != digest_code(VERIFIES_WITH):
        return None
    return VerifiedPoint(int(found[2]), found[3].decode(), found[4].decode())


def keep_point(points: Path | None, records: Path, point: VerifiedPoint) -> None:
    """Keep what was found good.

    A folder that takes no file is no fault: the ledger is verified again then. The file is there whole or not at all.
    """
    file = _file(points, records)
    if file is None:
        return
    line = f"{FORMAT} {digest_code(VERIFIES_WITH)} {point.count} {point.records} {point.database}\n"
    keep_file(file, line.encode("ascii"))


def _file(points: Path | None, records: Path) -> Path | None:
    """Return where the point of a records folder lies, one file for each; None where that would be inside it."""
    if points is None:
        return None
    whole, folder = records.resolve(), points / FOLDER
    if folder.resolve().is_relative_to(whole):
        return None
    key = hashlib.sha256(str(whole).encode("utf-8", "surrogateescape")).hexdigest()
    return folder / f"{key[:KEY_LETTERS]}.txt"


def _read_ours(file: Path) -> bytes:
    """Return the bytes of a plain file that nobody but us may write, or none."""
    handle = os.open(file, _PLAINLY)
    try:
        return os.read(handle, _LARGEST_BYTES) if _is_ours(os.fstat(handle), stat.S_ISREG) else b""
    finally:
        os.close(handle)


def _is_ours(found: os.stat_result, is_kind: Callable[[int], bool]) -> bool:
    """Say whether a file or folder is of a kind, and ours alone to write.

    Windows keeps owners and rights elsewhere; its folder for such files belongs to the user.
    """
    if os.name == "nt":
        return is_kind(found.st_mode)
    return is_kind(found.st_mode) and found.st_uid == os.geteuid() and not found.st_mode & _WRITABLE_BY_OTHERS
