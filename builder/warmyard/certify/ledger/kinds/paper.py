"""A paper issued to a candidate."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Paper
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Paper) -> None:
    if body.paper in state.papers:
        refuse("a paper is issued twice")
    if body.adjustments and body.approved_by in ("", entry.person):
        refuse("a paper is adjusted and nobody else approved it")


def _change(state: State, fact: Fact[Paper]) -> None:
    state.papers[fact.body.paper] = fact


KIND = EntryKind(body=Paper, verify=_verify, change=_change)
