"""Files that are there whole or not at all, and are on the disk before anybody is told so."""

from __future__ import annotations

import errno
import os
from pathlib import Path


def write_through(path: Path, data: bytes) -> None:
    """Write a file and wait until it is on the disk."""
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all, and wait until it is on the disk."""
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, "it is a folder")
    path.parent.mkdir(parents=True, exist_ok=True)
    fresh = path.with_name(f".{path.name}.new")
    try:
        write_through(fresh, data)
        os.replace(fresh, path)
    except OSError:
        fresh.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def read_bounded(path: Path | str, largest_bytes: int) -> bytes:
    """Return a file's bytes, one more than is allowed at most, so that an endless one is refused and not swallowed."""
    # Side files are read by the thousand: without a buffer each costs half as many calls of the system.
    with open(path, "rb", buffering=0) as file:
        data = file.read(largest_bytes + 1)
        while len(data) <= largest_bytes and (more := file.read(largest_bytes + 1 - len(data))):
            data += more
        return data


def sync_folder(folder: Path) -> None:
    """Wait until a folder's names are on the disk, where the system has such a thing."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
