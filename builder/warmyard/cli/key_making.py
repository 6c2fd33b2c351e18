"""A key made on this machine: kept in keys/, its phrase shown once, everything put back when its entry is refused."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any

from warmyard.cli.record import Record, key_file
from warmyard.errors import InputError, WarmyardError

if TYPE_CHECKING:
    from warmyard.certify.ledger.envelope import SigningKey


@contextmanager
def new_key_file(record: Record, file: Any) -> Iterator[SigningKey | None]:
    """Make the key that a file asks for, keep it in keys/, and put everything back when its entry is refused."""
    from warmyard.certify.ledger.envelope import new_key, new_phrase, save_key

    if file.action not in ("add", "replace") or file.public:
        yield None
        return
    name = file.person if file.use == "person" else file.use
    if not name:
        raise InputError("name the person whose key it is")
    path = key_file(record.folder, name)
    aside = _free(path.with_name(f"{path.stem}.before-{record.state.count + 1}.pem"))
    made, phrase = new_key(), new_phrase()
    moved = path.exists()
    if moved:
        path.rename(aside)
    try:
        save_key(made, path, phrase)
        yield made
    except BaseException:
        # Stopped by hand after the entry was made, the key holds, and nobody has its phrase yet.
        if _stands(record, made):
            print(f"the key holds; phrase of {path.name}, shown once; write it down now: {phrase}")
            raise
        path.unlink(missing_ok=True)
        if moved:
            aside.rename(path)
        raise
    path.with_suffix(".phrase").unlink(missing_ok=True)
    print(f"phrase of the new key {path.name}, shown once; write it down now: {phrase}")


def _free(path: Path) -> Path:
    """Return a path, or one like it, at which no file stands: a key is never overwritten."""
    names = (path.with_name(f"{path.stem}{'-again' * again}{path.suffix}") for again in count())
    return next(each for each in names if not each.exists())


def _stands(record: Record, key: SigningKey) -> bool:
    """Say whether the entry of a new key was made."""
    try:
        return key.id in record.ledger.verify().keys
    except WarmyardError:
        return False
