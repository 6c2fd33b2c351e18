"""Every kind of entry, found from the modules of kinds/."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from warmyard.certify.ledger import kinds
from warmyard.certify.ledger.kind import EntryKind


def _found() -> Iterator[EntryKind[Any]]:
    for module in iter_modules(kinds.__path__):
        kind: EntryKind[Any] = import_module(f"warmyard.certify.ledger.kinds.{module.name}").KIND
        yield kind


ENTRY_KINDS: Mapping[str, EntryKind[Any]] = {kind.body.kind: kind for kind in _found()}
"""Name of a kind -> its record."""
