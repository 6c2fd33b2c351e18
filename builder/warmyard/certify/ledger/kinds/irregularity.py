"""Something about a paper that should not be."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Irregularity
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Irregularity) -> None:
    paper = state.papers.get(body.paper)
    if paper is None or paper.entry.person != entry.person:
        refuse("it is about a paper that this person was not given")


def _change(state: State, fact: Fact[Irregularity]) -> None:
    if fact.body.record:
        state.records_seen.setdefault(fact.body.record, fact.entry.number)


KIND = EntryKind(body=Irregularity, verify=_verify, change=_change)
