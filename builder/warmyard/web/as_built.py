"""Whether an edition stands as it was built from the very same sources by the same code, byte for byte.

Of each target one note is kept in the user's cache folder: the digest of everything that went in, the digest of every
file that came out, and what the build said. A file that was altered, deleted or added by hand is found.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

import msgspec

from warmyard.course.stamp import PACKAGE, digest_sources, files_under, version_of
from warmyard.kept import keep_file

LIBRARIES = (
    "mkdocs",
    "Markdown",
    "Jinja2",
    "beautifulsoup4",
    "segno",
    "typst",
)
"""What a built site depends on besides our code and what a proof depends on."""


class Built(msgspec.Struct, frozen=True, kw_only=True):
    """The note of a build."""

    sources: str
    files: str
    said: tuple[str, ...]
    """The lines that the build printed of the sources and of the edition."""


def digest_inputs(root: Path, *, country: str | None, bank: Path | None) -> str | None:
    """Return the digest of all that a build depends on; None when a source cannot be read.

    Sources, our code, its templates, scripts and styles, and the versions of the libraries.
    """
    sources = digest_sources(root, country=country, bank=bank)
    if sources is None:
        return None
    versions = [f"{name} {version_of(name)}" for name in LIBRARIES]
    return _digest([sources, *versions, digest_files(PACKAGE)])


def digest_files(folder: Path) -> str:
    """Return the digest of names and bytes of all files below a folder."""
    return _digest(_names_and_digests(folder))


def _names_and_digests(folder: Path) -> Iterator[str]:
    for file in files_under(folder):
        yield file.relative_to(folder).as_posix()
        with file.open("rb") as opened:
            yield hashlib.file_digest(opened, "sha256").hexdigest()


def _digest(parts: Iterable[str]) -> str:
    return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogateescape")).hexdigest()


def as_built(target: Path, inputs: str | None, cache: Path | None) -> Built | None:
    """Return the note of a target that stands as it was built from these inputs; None when it is to be built."""
    if cache is None or inputs is None or not target.is_dir():
        return None
    try:
        note = msgspec.json.decode(_file(target, cache).read_bytes(), type=Built)
        return note if note.sources == inputs and note.files == digest_files(target) else None
    except (OSError, msgspec.DecodeError):
        return None


def note_built(target: Path, inputs: str | None, said: Iterable[str], cache: Path | None) -> None:
    """Keep the note of a target that was just built."""
    if cache is None or inputs is None:
        return
    note = Built(sources=inputs, files=digest_files(target), said=tuple(said))
    keep_file(_file(target, cache), msgspec.json.encode(note))


def _file(target: Path, cache: Path) -> Path:
    name = hashlib.sha256(os.fsencode(target.resolve())).hexdigest()
    return cache / "built" / f"{name[:32]}.json"
