"""What was made once is kept by the digest of all that it was made from, and is not made again from the same.

A book lies in one file: it is read whole, believed only when its own digest is right, and written whole or not at all.
What is large lies in a file of its own beside it, named by the digest of its bytes, and is read when it is asked for:
the memory of a build does not grow with what was made before.
Who could write into the folder of books could change our code as well (see `course/stamp.py`).
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from warmyard.cores import Answer, Job, shared
from warmyard.errors import Place

Fault = TypeVar("Fault")
FORMAT = b"warmyard-book-1\n"
DIGEST_BYTES = 32
LARGE_BYTES = 16_384
SMALL, LARGE = b"=", b">"
"""First byte of an entry: the rest is what was made, or the name of its file."""


class Book:
    """Bytes by the digest of what they were made from; what nobody asked for while it was open is dropped."""

    def __init__(self, file: Path | None = None, code: str = "") -> None:
        """Open the book in a file; without a file nothing outlives the process.

        `code` says by which code the entries were made: a book of other code is empty.
        """
        self.file, self.code = file, code
        self._before: Mapping[str, bytes] = _read(file, code) if file is not None else {}
        self._now: dict[str, bytes] = {}
        self._large = _LargeFiles(file.with_suffix(".large")) if file is not None else None

    def get(self, key: str) -> bytes | None:
        """Return what is kept under a key; nothing when its file was lost or changed."""
        entry = self._now.get(key) or self._before.get(key)
        if entry is None:
            return None
        made = self._large.read(entry[1:]) if entry[:1] == LARGE and self._large is not None else entry[1:]
        if made is not None:
            self._now[key] = entry
        return made

    def put(self, key: str, made: bytes) -> None:
        """Keep something under a key."""
        large = self._large is not None and len(made) >= LARGE_BYTES
        name = self._large.write(made) if large and self._large is not None else None
        self._now[key] = SMALL + made if name is None else LARGE + name

    def made(self, what: str, parts: Iterable[Any], make: Callable[[], bytes]) -> bytes:
        """Return what `make` makes; it is called only when nothing was made of the same parts before."""
        key = f"{what} {digest_of(list(parts))}"
        found = self.get(key)
        if found is None:
            found = make()
            self.put(key, found)
        return found

    def sound(self, what: str, parts: Iterable[Any], check: Callable[[], list[Fault]]) -> list[Fault]:
        """Return the faults that a check finds; the same parts are not checked again when it found none."""
        key = f"{what} {digest_of(list(parts))}"
        if self.get(key) is not None:
            return []
        faults = check()
        if not faults:
            self.put(key, b"")
        return faults

    def fill(self, jobs: Sequence[Callable[[], object]]) -> None:
        """Do jobs that write into the book, shared among the cores."""

        def do(share: Sequence[Callable[[], object]]) -> None:
            for job in share:
                job()

        self.share(jobs, do)

    def share(self, jobs: Sequence[Job], work: Callable[[Sequence[Job]], Answer]) -> list[Answer]:
        """Return what `work` gives for each share of the jobs; what it asked of the book or put in stands here too."""
        before = dict(self._now)

        def do(share: Sequence[Job]) -> tuple[Answer, dict[str, bytes]]:
            answer = work(share)
            return answer, {key: entry for key, entry in self._now.items() if before.get(key) is not entry}

        answers = []
        for answer, entries in shared(jobs, do):
            self._now.update(entries)
            answers.append(answer)
        return answers

    def close(self) -> None:
        """Write the book when it changed. A folder that takes no file is no fault: all is made again then."""
        if self.file is None or self._now == self._before:
            return
        content = msgspec.msgpack.encode((self.code, self._now))
        if self._large is not None:
            self._large.keep_only(entry[1:].decode() for entry in self._now.values() if entry[:1] == LARGE)
        keep_file(self.file, FORMAT + hashlib.sha256(content).digest() + content)


class _LargeFiles:
    """Files by the digest of their bytes; a folder that takes no file keeps nothing."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def read(self, name: bytes) -> bytes | None:
        """Return the bytes of a name; nothing when they are not there or not those that were written."""
        try:
            found = (self.folder / name.decode()).read_bytes()
        except OSError:
            return None
        return found if hashlib.sha256(found).hexdigest().encode() == name else None

    def write(self, made: bytes) -> bytes | None:
        """Write bytes and return their name; nothing when they cannot be written."""
        name = hashlib.sha256(made).hexdigest()
        if self.read(name.encode()) is None and not keep_file(self.folder / name, made):
            return None
        return name.encode()

    def keep_only(self, names: Iterable[str]) -> None:
        """Remove every other file."""
        wanted = set(names)
        try:
            for file in [file for file in self.folder.iterdir() if file.name not in wanted]:
                file.unlink()
        except OSError:
            return


def keep_file(file: Path, content: bytes) -> bool:
    """Write what can be made again, whole or not at all and for its owner alone; say whether it was written."""
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=file.parent)
        try:
            with os.fdopen(handle, "wb") as opened:
                opened.write(content)
            os.replace(name, file)
        except OSError:
            os.unlink(name)
            return False
    except OSError:
        return False
    return True


def _read(file: Path, code: str) -> Mapping[str, bytes]:
    """Return the entries of a book; none when it is not there, was cut short, was changed, or is of other code."""
    try:
        whole = file.read_bytes()
    except OSError:
        return {}
    head = len(FORMAT) + DIGEST_BYTES
    content = memoryview(whole)[head:]
    if whole[:head] != FORMAT + hashlib.sha256(content).digest():
        return {}
    try:
        made_by, entries = msgspec.msgpack.decode(content, type=tuple[str, dict[str, bytes]])
    except msgspec.DecodeError:
        return {}
    return entries if made_by == code else {}


def digest_of(value: Any) -> str:
    """Return the digest of a value by what it says: texts, numbers, mappings, lists and objects with fields.

    Where an object stands in its file (`place`) is left out: what is made of it does not depend on that.
    Raises TypeError for what has no such form, a function above all.
    """
    return hashlib.sha256(_encoder().encode(plain(value))).hexdigest()


@lru_cache(maxsize=1)
def _encoder() -> msgspec.msgpack.Encoder:
    return msgspec.msgpack.Encoder()


_AS_THEY_ARE = frozenset({type(None), str, int, float, bool, bytes})


def plain(value: Any) -> Any:
    """Return a value as lists and plain values, objects by the name of their type and their fields in order."""
    kind = type(value)
    if kind in _AS_THEY_ARE:
        return value
    if kind is list or isinstance(value, tuple | list):
        return ["list", *map(plain, value)]
    if kind is dict or isinstance(value, Mapping):
        return ["mapping", *((plain(key), plain(inner)) for key, inner in value.items())]
    if isinstance(value, set | frozenset):
        return ["set", *sorted(map(str, value))]
    if isinstance(value, str | int | float | bytes):
        return value
    inside = (getattr(value, name) for name in _fields_of(kind))  # type: ignore[arg-type]
    return ["fields", kind.__name__, *(plain(inner) for inner in inside if type(inner) is not Place)]


@lru_cache(maxsize=1024)
def _fields_of(kind: type) -> tuple[str, ...]:
    if issubclass(kind, msgspec.Struct):
        return kind.__struct_fields__
    if is_dataclass(kind):
        return tuple(one.name for one in fields(kind))
    raise TypeError(f"{kind.__name__} has no plain form")
