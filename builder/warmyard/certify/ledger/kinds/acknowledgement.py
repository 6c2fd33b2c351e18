"""A person has read again what a notice names."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Acknowledgement
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import State


def _verify(state: State, entry: Entry, body: Acknowledgement) -> None:
    del entry
    if body.notice not in state.notices:
        refuse("an answer to a notice that was not given")


KIND = EntryKind(body=Acknowledgement, verify=_verify)
