"""Writing a page to print where the caller wants it, whole or not at all, and never over the record itself."""

from __future__ import annotations

from pathlib import Path

from warmyard.cli.where import whole_path
from warmyard.errors import InputError

LEDGER = "ledger.sqlite"


def write_page(named: str, text: str, what: str, records: Path) -> None:
    """Write a page and print its path; raise InputError, calling it `what`, when it cannot be written there."""
    from warmyard.certify.ledger.files import write_whole

    whole = whole_path(named)
    verify_outside(records, whole, named, what)
    try:
        if not whole.parent.is_dir():
            raise InputError(f"{what} cannot be written to {named}: there is no such folder")
        write_whole(whole, text.encode())
    except OSError as problem:
        raise InputError(f"{what} cannot be written to {named} ({problem.strerror})") from None
    except ValueError:
        raise InputError(f"{what} cannot be written to {named!r}: that is no name of a file") from None
    print(Path(named).expanduser())


def verify_outside(records: Path, whole: Path, named: str, what: str) -> None:
    """Raise InputError when a file would take the place of one of the record's own."""
    from warmyard.certify.ledger.folders import FOLDERS

    # In its own folders only the record's own commands write.
    inside = whole.relative_to(records).parts if whole.is_relative_to(records) else ()
    if inside and (inside[0] in {folder.name for folder in FOLDERS} or inside[0].startswith(LEDGER)):
        raise InputError(f"{what} cannot be written to {named}: the record itself is there; name another place")
