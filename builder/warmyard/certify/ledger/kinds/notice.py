"""Something that holders of some levels must read again."""

from __future__ import annotations

from warmyard.certify.ledger.bodies import Notice
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.kind import EntryKind
from warmyard.certify.ledger.refusal import is_day, refuse
from warmyard.certify.ledger.state import Fact, State


def _verify(state: State, entry: Entry, body: Notice) -> None:
    if body.notice in state.notices:
        refuse("a notice is entered twice")
    if not is_day(body.until):
        refuse("a notice that ends on no day of the calendar")


def _change(state: State, fact: Fact[Notice]) -> None:
    state.notices[fact.body.notice] = fact


KIND = EntryKind(body=Notice, verify=_verify, change=_change)
