"""A declaration of interests."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Interest
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import State


def _verify(state: State, entry: Entry, body: Interest) -> None:
    del state
    if entry.person in body.about:
        refuse("somebody declared an interest in himself or herself")
    if list(body.about) != sorted(set(body.about)):
        refuse("the people of a declaration stand twice or not in their order")
    if body.about and not body.side:
        refuse("an interest is declared without a word why")
    # It would take the place of every declaration until that day.
    if entry.effective_on > entry.recorded_at.date():
        refuse("a declaration of a day to come")


KIND = EntryKind(body=Interest, verify=_verify)
