"""The stamp: that these very sources were proved without a fault, so that nobody proves the same bytes twice.

It holds one digest of all that a proof depends on: the bytes and names of the sources, the country and the bank
chosen, our own code, and the versions of what that code computes and reads with.
"""

from __future__ import annotations

import hashlib
import os
import platform
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import metadata
from pathlib import Path

from warmyard.kept import Book, keep_file

FORMAT = "warmyard-proof-1"
FOLDERS = ("course", "quizbank", "site_config")
LIBRARIES = ("PyYAML", "msgspec", "pint")
PACKAGE = Path(__file__).resolve().parents[1]
KEY_LETTERS = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """The sources of a workspace as they were at one moment, by digest."""

    root: Path
    country: str | None
    bank: Path | None
    cache: Path | None
    """Folder where stamps are kept; without one no stamp is looked for and none is written."""
    digest: str | None
    """None where a source cannot be read: nothing is known of such sources."""

    def is_kept(self) -> bool:
        """Say whether the same sources were proved before; a stamp that cannot be read is no stamp."""
        if self.cache is None or self.digest is None:
            return False
        file = self._file(self.cache)
        try:
            return file.is_file() and file.read_bytes() == self._line(self.digest)
        except OSError:
            return False

    def still_true(self) -> bool:
        """Say whether the sources are the same now: what was saved in the meantime is neither proved nor stamped."""
        if self.cache is None or self.digest is None:
            return False
        return digest_sources(self.root, country=self.country, bank=self.bank) == self.digest

    def keep(self) -> None:
        """Write that these sources are proved. A folder that takes no file is no fault: they are proved again then.

        Half a line is no stamp, so nothing is lost when the write is cut short.
        """
        if self.cache is None or self.digest is None:
            return
        keep_file(self._file(self.cache), self._line(self.digest))

    def _file(self, cache: Path) -> Path:
        return cache / "proved" / f"{key_of(self.root, self.country, self.bank)}.txt"

    @staticmethod
    def _line(digest: str) -> bytes:
        return f"{FORMAT} {digest}\n".encode()


def open_book(root: Path, what: str, *, country: str | None, bank: Path | None, cache: Path | None) -> Book:
    """Return the book of what our present code made of a workspace; without a folder it is gone with the process."""
    file = None if cache is None else cache / "made" / f"{key_of(root, country, bank)}-{what}.book"
    return Book(file, digest_code())


def key_of(root: Path, country: str | None, bank: Path | None) -> str:
    """Return one name for each workspace, country and bank, so that a folder does not grow with every save."""
    chosen = (str(root.resolve()), country or "", str(bank.resolve()) if bank else "")
    return hashlib.sha256("\0".join(chosen).encode("utf-8", "surrogateescape")).hexdigest()[:KEY_LETTERS]


def take_stamp(root: Path, *, country: str | None, bank: Path | None, cache: Path | None) -> Stamp:
    """Return the stamp of the sources as they are now; without a folder for stamps nothing is read for it."""
    digest = None if cache is None else digest_sources(root, country=country, bank=bank)
    return Stamp(root=root, country=country, bank=bank, cache=cache, digest=digest)


def digest_sources(root: Path, *, country: str | None, bank: Path | None) -> str | None:
    """Return the digest of everything that a proof of these sources depends on, or None when a file is unreadable."""
    whole = hashlib.sha256()
    try:
        for part in (FORMAT, digest_code(), f"country {country or ''}", "bank" if bank else "no bank"):
            _add(whole, part)
        for folder in FOLDERS:
            for file in files_under(root / folder):
                _add(whole, file.relative_to(root).as_posix(), file)
        for file in sorted(bank.glob("*.yaml")) if bank else ():
            _add(whole, file.name, file)
    except OSError:
        return None
    return whole.hexdigest()


@cache
def digest_code(libraries: tuple[str, ...] = LIBRARIES) -> str:
    """Return the digest of our code and of the versions that it runs with, those of the libraries named.

    Taken once, when the code has just been loaded: in a long run the files may change and the code in memory not.
    """
    whole = hashlib.sha256()
    for name in libraries:
        _add(whole, f"{name} {version_of(name)}")
    _add(whole, f"Python {platform.python_version()}")
    for file in files_under(PACKAGE):
        if file.suffix in (".py", ".yaml"):
            _add(whole, file.relative_to(PACKAGE).as_posix(), file)
    return whole.hexdigest()


def version_of(name: str) -> str:
    """Return the version of a library as it is installed, or unknown."""
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return "unknown"


def _add(whole: hashlib._Hash, name: str, file: Path | None = None) -> None:
    """Add a name, and the bytes of a file, each by a digest of its own: no two lists of files run into one another."""
    whole.update(hashlib.sha256(name.encode("utf-8", "surrogateescape")).digest())
    if file is not None and file.is_file():
        with file.open("rb") as opened:
            whole.update(hashlib.file_digest(opened, "sha256").digest())


def files_under(folder: Path, above: frozenset[str] = frozenset()) -> Iterator[Path]:
    """Yield every file below a folder in a fixed order, through links too; raise OSError where a folder is shut.

    A folder that is not there holds nothing. A link back to a folder `above` is not gone through again.
    """
    real = os.path.realpath(folder)
    if real in above or not os.path.lexists(folder):
        return
    with os.scandir(folder) as found:
        entries = sorted(found, key=lambda entry: entry.name)
    for entry in entries:
        if not entry.is_dir():
            yield Path(entry.path)
        elif entry.name != "__pycache__":
            yield from files_under(Path(entry.path), above | {real})
