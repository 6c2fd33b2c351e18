"""A fact that a prerequisite or a surveillance asks for."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Evidence
from warmyard.certify.ledger.kind import EntryKind

KIND = EntryKind(body=Evidence)
