"""A person and the roles held from here."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Person
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.state import Fact, Member, State


def _change(state: State, fact: Fact[Person]) -> None:
    person = fact.entry.person
    known = state.people.get(person)
    since = known.since_entry if known else fact.entry.number
    state.people[person] = Member(person, tuple(fact.body.roles), fact.body.side, since)


KIND = EntryKind(body=Person, change=_change)
