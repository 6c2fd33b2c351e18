"""Appeals: in time, lodged before they are decided, decided once, by two who had no part in the decision."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from warmyard.certify.ledger.bodies import Appeal, Decision
from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.schemes import adopted_scheme
from warmyard.certify.ledger.state import Fact, State
from warmyard.errors import InputError


def decision_of(state: State, person: str, number: int) -> Fact[Decision]:
    """Return a decision about a person; raise InputError when that entry is none."""
    fact = state.by_number.get(number)
    if fact is None or not isinstance(fact.body, Decision) or fact.entry.person != person:
        raise InputError(f"entry {number} is no decision about {person}")
    return fact


def open_appeal(state: State, decision: Fact[Decision]) -> Fact[Appeal] | None:
    """Return the appeal against a decision that was lodged and is not decided, or None."""
    found: Fact[Appeal] | None = None
    for fact in state.of(decision.entry.person, Appeal):
        if fact.body.decision == decision.entry.number:
            found = fact if fact.body.stage == "lodged" else None
    return found


def verify_lodging(state: State, decision: Fact[Decision], day: date) -> None:
    """Raise InputError unless an appeal against a decision may be lodged on a day."""
    _, scheme = adopted_scheme(state)
    decided_on, number = decision.entry.recorded_at.date(), decision.entry.number
    if day < decided_on:
        raise InputError(f"nobody appeals on {day} against a decision of {decided_on} (entry {number})")
    late = (day - decided_on).days - scheme.appeals.within_days
    if late > 0:
        raise InputError(f"the appeal is {late} days late; the scheme allows {scheme.appeals.within_days} days")
    held = open_appeal(state, decision)
    if held is not None:
        raise InputError(f"an appeal against entry {number} is open already (entry {held.entry.number})")


def verify_outcome(state: State, decision: Fact[Decision], by: Iterable[str], day: date) -> None:
    """Raise InputError unless an open appeal may be decided on a day by these people."""
    held, number = open_appeal(state, decision), decision.entry.number
    if held is None:
        raise InputError(f"no appeal against entry {number} is open; enter it with stage: lodged first")
    if day < held.entry.effective_on:
        raise InputError(f"the appeal was lodged on {held.entry.effective_on}; nobody decided it on {day}")
    deciding = {known_person(state, named) for named in by}
    if len(deciding) < 2:
        raise InputError("an appeal is decided by two people who had no part in the decision; name them in by")
    body = decision.body
    for named in sorted(deciding & {decision.entry.person, body.decider, *body.trainers, *body.examiners}):
        raise InputError(f"{named} had a part in the decision (entry {number}); name somebody else in by")
