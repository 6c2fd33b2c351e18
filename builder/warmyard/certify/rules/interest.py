"""Declared interests: about whom somebody may not decide, whose observation does not count, and who declared lately.

Of a person's declarations the one of the latest day holds. A declaration binds from the earlier of its two dates and
ends the one before it from the later, so that nothing entered afterwards makes good what was decided in a conflict.
What was signed with a stolen key binds too, but ends nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from warmyard.certify.ledger.bodies import Interest
from warmyard.certify.ledger.state import Fact, Record, view_of
from warmyard.certify.rules.dates import add_months


def _order(fact: Fact[Interest]) -> tuple[date, int]:
    return fact.entry.effective_on, fact.entry.number


def declaration(record: Record, person: str, on: date) -> Fact[Interest] | None:
    """Return the declaration of a person that holds on a day, or None."""
    known = [
        fact
        for fact in view_of(record).of(person, Interest)
        if fact.entry.counts_from(restricts=False) <= on and not view_of(record).may_be_forged(fact.entry)
    ]
    return max(known, key=_order, default=None)


def has_declared(record: Record, person: str, on: date, months: int) -> bool:
    """Say whether a person has a declaration that holds on a day and is no older than that many months."""
    held = declaration(record, person, on)
    return held is not None and held.entry.effective_on >= add_months(on, -months)


def interests_in(
    record: Record, person: str, candidate: str, *, since: date, on: date, before: int
) -> Iterator[Fact[Interest]]:
    """Yield the declarations by which a person had an interest in a candidate between `since` and a decision.

    The decision is made on the day `on` as the entry `before`. What was entered after it counts when it is of a day
    before it; nothing that was entered after it ends an interest.
    """
    made = list(view_of(record).of(person, Interest))
    for fact in made:
        number = fact.entry.number
        known = number < before and fact.entry.counts_from(restricts=True) <= on
        came_to_light = number > before and fact.entry.effective_on < on
        if candidate not in fact.body.about or not (known or came_to_light):
            continue
        if not any(_order(later) > _order(fact) and _ends(record, later, since, before) for later in made):
            yield fact


def _ends(record: Record, later: Fact[Interest], since: date, before: int) -> bool:
    """Say whether a declaration had ended earlier ones by a day, as far as was known at an entry."""
    entry = later.entry
    return (
        entry.number < before
        and entry.counts_from(restricts=False) <= since
        and not view_of(record).may_be_forged(entry)
    )
