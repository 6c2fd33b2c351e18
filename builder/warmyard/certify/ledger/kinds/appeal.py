"""An appeal against a decision, and its outcome."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Appeal, Decision
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import State


def _verify(state: State, entry: Entry, body: Appeal) -> None:
    fact = state.by_number.get(body.decision)
    if fact is None or not isinstance(fact.body, Decision) or fact.entry.person != entry.person:
        refuse("an appeal against something that is no decision about this person")
    involved = {fact.body.decider, entry.person, *fact.body.trainers, *fact.body.examiners}
    if body.stage != "lodged" and (not body.by or involved & set(body.by)):
        refuse("an appeal decided by nobody, or by somebody involved")


KIND = EntryKind(body=Appeal, verify=_verify)
