"""A certificate written to file and paper."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Certificate
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import State


def _verify(state: State, entry: Entry, body: Certificate) -> None:
    grant = state.grants.get(body.certificate)
    if grant is None or grant.entry.person != entry.person or grant.entry.number != body.decision:
        refuse("a certificate without its grant")


KIND = EntryKind(body=Certificate, verify=_verify)
