"""A decision, signed by somebody who may decide: a grant, a suspension, a restoration, a withdrawal; or its refusal."""

from __future__ import annotations

import secrets
from datetime import date, datetime
from typing import get_args

import msgspec

from warmyard.certify.ledger.bodies import Decision
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.envelope import SigningKey, new_name
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.asking import Action, Asking, Refusal
from warmyard.certify.rules.judge import judge
from warmyard.errors import InputError
from warmyard.formats.entries import PLACES


def decide(
    ledger: Ledger,
    state: State,
    *,
    person: str,
    level: int,
    action: Action,
    by: str,
    because: str,
    on: date,
    now: datetime,
    signer: SigningKey,
) -> Entry:
    """Return the entry of a decision; raise InputError, in one sentence, when it may not be made."""
    known_person(state, person)
    verify_decider(state, by, person, signer)
    if action not in get_args(Action):
        raise InputError(f"{action!r} is no decision; write grant, suspend, restore or withdraw")
    ask = Asking(
        person=person, level=level, action=action, by=by, because=because, on=max(on, now.date()), signed_on=now.date()
    )
    entry, _ = ledger.append("decision", person, lambda newest: decision_on(newest, ask), on, now, signer)
    return entry


def decision_on(state: State, ask: Asking) -> Decision:
    """Return the decision that is asked for, as the judge finds it on what the ledger says; raise InputError when it
    may not be made."""
    terms = judge(state, ask)
    if isinstance(terms, Refusal):
        raise InputError(terms.say)
    made = Decision(
        level=ask.level, action=ask.action, because=ask.because, decider=ask.by, scheme=terms.scheme,
        certificate=terms.certificate, waiver=terms.waiver,
    )  # fmt: skip
    if ask.action != "grant":
        return made
    return msgspec.structs.replace(
        made, certificate=f"c-{new_name(12)}", index=_free_place(state), activities=terms.activities,
        until=terms.until.isoformat(), surveillance_months=terms.surveillance_months, grace_days=terms.grace_days,
        evidence=terms.evidence, trainers=terms.trainers, examiners=terms.examiners,
    )  # fmt: skip


def verify_may_decide(state: State, by: str, person: str) -> None:
    """Raise InputError unless one person may decide at all, about somebody else who is entered."""
    known_person(state, person)
    known_person(state, by)
    if not state.has_role(by, "decider"):
        raise InputError(f"{by} is not a decider; enter the role first, or name somebody who is")
    if by == person:
        raise InputError("nobody decides about himself or herself")


def verify_decider(state: State, by: str, person: str, signer: SigningKey) -> None:
    """Raise InputError unless this person may decide about the other, with this key."""
    verify_may_decide(state, by, person)
    key = state.key_at(signer.id)
    if key is None or key.use != "person" or key.owner != by:
        raise InputError(f"the key is not one of {by}'s that holds; a decision is signed with the decider's own key")


def _free_place(state: State) -> int:
    if len(state.indexes) >= PLACES - 1:
        raise InputError("the status lists are full")
    while True:
        place = 1 + secrets.randbelow(PLACES - 1)
        if place not in state.indexes:
            return place
