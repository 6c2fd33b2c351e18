"""What the commands on the record share: the moment, the verified ledger, and keys with their phrases."""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from getpass import getpass
from pathlib import Path
from typing import TYPE_CHECKING

from warmyard.cli.where import add_records, cache_folder, records_folder
from warmyard.errors import InputError

if TYPE_CHECKING:
    from warmyard.certify.ledger.envelope import SigningKey
    from warmyard.certify.ledger.ledger import Ledger
    from warmyard.certify.ledger.state import State

OFFICE = "office"
LARGEST_PHRASE_FILE_BYTES = 1_000


@dataclass(frozen=True, slots=True)
class Record:
    """A records folder whose ledger was verified."""

    folder: Path
    ledger: Ledger
    state: State


def now() -> datetime:
    """Return this machine's time with its zone, to the second; nothing below cli/ reads the clock."""
    return datetime.now().astimezone().replace(microsecond=0)


def read_day(text: str) -> date:
    """Return a day typed on the command line; raise InputError when it is none."""
    try:
        if len(text) != 10:
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(f"{text[:40]!r} is not a day; write it as 2026-03-31") from None


def add_signing(parser: ArgumentParser) -> None:
    """Add --records and --phrase-file."""
    add_records(parser)
    parser.add_argument("--phrase-file", metavar="FILE", help="file that holds the phrase of the signing key")


def open_record(named: str | None, witnesses: Iterable[str] = ()) -> Record:
    """Return the record, verified; raise VerificationError, naming nobody, when it is broken."""
    from warmyard.certify.ledger.ledger import Ledger

    folder = records_folder(named)
    ledger = Ledger.open(folder)
    return Record(folder, ledger, ledger.verify(witnesses))


def read_record(named: str | None) -> Record:
    """Return the record for a command that only shows what it says; as `open_record`, and fast where a verified point
    is kept in the user's cache folder. Its ledger takes every step before it enters anything."""
    from warmyard.certify.ledger.ledger import Ledger

    folder = records_folder(named)
    ledger = Ledger.open(folder)
    return Record(folder, ledger, ledger.read(cache_folder(folder)))


def verify_clock(record: Record, moment: datetime) -> None:
    """Raise InputError when this machine's clock is behind the ledger: "today" would then be a day of the past."""
    last = record.state.last_recorded_at
    if last is not None and moment < last:
        raise InputError(f"{_behind(moment, last)}; set the clock, or name a day with --on")


def verify_day(record: Record, moment: datetime) -> None:
    """Raise InputError when this machine's day is before that of the last entry, for what only asks for a day."""
    last = record.state.last_recorded_at
    if last is not None and moment.date() < last.astimezone(moment.tzinfo).date():
        raise InputError(f"{_behind(moment, last)}; set the clock")


def _behind(moment: datetime, last: datetime) -> str:
    return f"this machine says {moment.isoformat()}, but the last entry was recorded at {last.isoformat()}"


def key_file(folder: Path, name: str) -> Path:
    """Return where the key of an owner lies: keys/NAME.pem."""
    from warmyard.certify.ledger.folders import KEYS

    return KEYS.at(folder) / f"{name}.pem"


def load_signer(folder: Path, name: str, phrase_file: str | None) -> SigningKey:
    """Return the key NAME, its phrase from a file, a demo's file beside the key, or the keyboard."""
    from warmyard.certify.ledger.envelope import load_key
    from warmyard.certify.ledger.people import read_person_id

    path = key_file(folder, read_person_id(name))
    if not path.is_file():
        raise InputError(f"there is no key of {name} in {path.parent}; a decision or entry is signed with a key")
    return load_key(path, _phrase(path, name, phrase_file))


def _phrase(path: Path, name: str, phrase_file: str | None) -> str:
    beside = path.with_suffix(".phrase")
    if phrase_file:
        return _read_phrase(Path(phrase_file))
    if beside.is_file():
        print(f"demo: the phrase of {name} is read from {beside.name} beside its key", file=sys.stderr)
        return _read_phrase(beside)
    if not sys.stdin.isatty():
        raise InputError(f"the key of {name} needs its phrase; name a file with --phrase-file")
    return getpass(f"phrase of {name}: ")


def _read_phrase(path: Path) -> str:
    try:
        text = path.read_bytes()[: LARGEST_PHRASE_FILE_BYTES + 1].decode("utf-8")
    except (OSError, UnicodeDecodeError):
        raise InputError(f"the phrase file {path.name} cannot be read") from None
    if len(text) > LARGEST_PHRASE_FILE_BYTES:
        raise InputError(f"{path.name} is too large for a phrase file")
    return text.strip()
