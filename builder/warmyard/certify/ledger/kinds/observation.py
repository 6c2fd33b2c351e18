"""A station seen by observers."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Observation
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Observation) -> None:
    if body.form and body.form in state.forms:
        refuse(f"this form is entered already, as entry {state.forms[body.form]}")
    if entry.person in body.observers:
        refuse("somebody observed himself or herself")


def _change(state: State, fact: Fact[Observation]) -> None:
    if fact.body.form:
        state.forms[fact.body.form] = fact.entry.number


KIND = EntryKind(body=Observation, verify=_verify, change=_change)
