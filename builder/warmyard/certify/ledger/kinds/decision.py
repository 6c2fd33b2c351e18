"""A grant, suspension, restoration or withdrawal."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Decision, Waiver
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import is_day, refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Decision) -> None:
    if state.keys[entry.key].owner != body.decider or body.decider == entry.person:
        refuse("a decision is not signed by its decider")
    if not any(fact.body.digest == body.scheme for fact in state.adopted):
        refuse("a decision under a scheme that was not adopted")
    if any(number not in state.by_number for number in body.evidence):
        refuse("a decision that rests on entries that are not there")
    waiver = state.by_number.get(body.waiver)
    if body.waiver and not (waiver and isinstance(waiver.body, Waiver) and waiver.entry.person == entry.person):
        refuse("a decision under a waiver that is not about this person")
    if body.until and not is_day(body.until):
        refuse("a decision that ends on no day of the calendar")
    grant = state.grants.get(body.certificate)
    if body.action == "grant":
        taken = body.index in state.indexes
        if grant is not None or taken or not (body.certificate and body.until):
            refuse("a grant without its own certificate number, place or end")
    elif grant is None or grant.entry.person != entry.person or grant.body.level != body.level:
        refuse("a decision about a certificate that this person was not given")


def _change(state: State, fact: Fact[Decision]) -> None:
    if fact.body.action == "grant":
        state.grants[fact.body.certificate] = fact
        if fact.body.index:
            state.indexes.add(fact.body.index)


KIND = EntryKind(body=Decision, verify=_verify, change=_change)
