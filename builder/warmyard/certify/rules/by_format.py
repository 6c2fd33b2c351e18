"""What the judge asks of a decision, by the format of its entry: a stricter tool strips nobody rightly certified.

A new entry has the newest format, whoever writes it, because formats never decrease along the ledger. So a rule that is
added here binds what is decided from now on, and `warmyard upgrade` says beforehand whom it would touch if it bound the
old decisions too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from warmyard.formats.entries import ENTRY


@dataclass(frozen=True, slots=True, kw_only=True)
class Strictness:
    """What one format of entries is held to beyond what every decision is."""

    waiver_for_one_decision: bool
    """True when a waiver is used up by the first decision that rests on it, and a restoration names its waiver too."""
    conflict_when_signed: bool
    """True when a conflict on the day of signing stops a decision that counts from a later day."""
    conflict_in_withdrawal: bool
    """True when a withdrawal that would end a suspension asks for a decider without a conflict, as restoring does."""


STRICTNESS: Mapping[int, Strictness] = {
    1: Strictness(waiver_for_one_decision=False, conflict_when_signed=False, conflict_in_withdrawal=False),
    2: Strictness(waiver_for_one_decision=True, conflict_when_signed=True, conflict_in_withdrawal=True),
}
TODAY = STRICTNESS[ENTRY.version]
