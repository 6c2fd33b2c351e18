"""Where facts are entered: one desk, and one way to append an entry together with the files that belong to it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Any

from msgspec import Meta

from warmyard.certify.ledger.bodies import Body
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.files import write_whole
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.side_files import drop_side, write_side
from warmyard.certify.ledger.state import State
from warmyard.errors import InputError

LongText = Annotated[str, Meta(min_length=1, max_length=20_000)]


@dataclass(frozen=True, slots=True)
class Desk:
    """Where a fact is entered: the ledger, the moment, and whose key signs."""

    ledger: Ledger
    now: datetime
    signer: SigningKey

    @property
    def records(self) -> Path:
        """The records folder."""
        return self.ledger.folder

    @property
    def state(self) -> State:
        """What the ledger says, with everything that was entered at this desk."""
        return self.ledger.state


@dataclass(frozen=True, slots=True)
class Entered:
    """The entry that was made, and what to tell the person at the desk."""

    entry: Entry
    say: str


def read_day(text: str, now: datetime) -> date:
    """Return a day; raise InputError when it is none, or lies in the future."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise InputError(f"{text!r} is not a day; write it as 2026-03-31") from None
    if day > now.date():
        raise InputError(f"{day} lies in the future; enter it when it has happened")
    return day


def append(
    desk: Desk,
    kind: str,
    person: str,
    body: Body | Callable[[str], Body],
    *,
    on: date | None = None,
    side: Mapping[str, Any] | None = None,
    files: Mapping[Path, bytes] | None = None,
) -> Entry:
    """Return the new entry, with everything that belongs to it on the disk before it stands.

    `side` is the content of a side file of the person, whose digest `body` is then called with; `files` are others.
    When the entry is refused they go again. An interruption removes nothing: nobody knows then whether the entry
    stands, and one without its file would break the ledger.
    """
    digest = write_side(desk.records, person, kind, side) if side else ""
    written: list[Path] = []
    try:
        for path, data in (files or {}).items():
            write_whole(path, data)
            written.append(path)
        made = body(digest) if callable(body) else body
        entry, _ = desk.ledger.append(kind, person, made, on or desk.now.date(), desk.now, desk.signer)
    except Exception:
        for path in written:
            path.unlink(missing_ok=True)
        if digest:
            drop_side(desk.records, person, digest)
        raise
    return entry
