"""What a kind of entry is made of besides its body: the rule by which it may stand, and what it changes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic

from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.state import B, Fact, State


def _no_rule(state: State, entry: Entry, body: object) -> None:
    del state, entry, body


def _no_change(state: State, fact: object) -> None:
    del state, fact


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryKind(Generic[B]):
    """One kind of entry; its name, and who signs it about whom, stand with its body."""

    body: type[B]
    verify: Callable[[State, Entry, B], None] = _no_rule
    """Raises VerificationError when such an entry may not stand at this place; signer and names were looked at."""
    change: Callable[[State, Fact[B]], None] = _no_change
    """Takes what it says into the state, besides what every entry does there."""
