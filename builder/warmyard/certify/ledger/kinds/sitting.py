"""A paper handed in and marked."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Sitting
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Sitting) -> None:
    paper = state.papers.get(body.paper)
    if paper is None or paper.entry.person != entry.person:
        refuse("a sitting of a paper that this person was not given")
    if body.paper in state.sittings:
        refuse("a paper is sat twice")
    if (body.level, body.part) != (paper.body.level, paper.body.part):
        refuse("a sitting of another level or part than its paper")


def _change(state: State, fact: Fact[Sitting]) -> None:
    state.sittings[fact.body.paper] = fact
    state.records_seen[fact.body.record] = fact.entry.number


KIND = EntryKind(body=Sitting, verify=_verify, change=_change)
