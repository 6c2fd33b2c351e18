"""A decision, signed by somebody who may decide: a grant, a suspension, a restoration, a withdrawal; or its refusal."""

from __future__ import annotations

import secrets
from datetime import date, datetime
from typing import Literal, get_args

from warmyard.certify.credential.status import PLACES
from warmyard.certify.ledger.adoption import adopted_scheme, level_of
from warmyard.certify.ledger.bodies import Decision
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.envelope import SigningKey, new_name
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.people import known_person, people_involved
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.assessment import assess
from warmyard.certify.rules.conflict import conflicts, waiver_for
from warmyard.certify.rules.dates import last_day
from warmyard.certify.rules.standing import grants_of, standing
from warmyard.course.model import Level, Scheme
from warmyard.errors import InputError

Action = Literal["grant", "suspend", "restore", "withdraw"]


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
    digest, scheme = adopted_scheme(state)
    verify_decider(state, by, person, signer)
    verify_reason(scheme, action, because)
    if action == "grant":
        body = _grant(state, scheme, digest, level_of(scheme, level), person, by, because, max(on, now.date()))
    else:
        # Of a level that the scheme has no more, certificates are still out there.
        if action == "restore":
            _conflict_waiver(state, scheme, person, level, by, max(on, now.date()))
        body = _about_grant(state, digest, level, person, action, by, because, max(on, now.date()))
    return ledger.append("decision", person, body, on, now, signer)


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


def verify_reason(scheme: Scheme, action: str, because: str) -> None:
    """Raise InputError unless the scheme has this reason code for this action."""
    if action not in get_args(Action):
        raise InputError(f"{action!r} is no decision; write grant, suspend, restore or withdraw")
    codes = [reason.id for reason in scheme.reasons if reason.action == action]
    if because not in codes:
        raise InputError(f"{because!r} is no reason to {action}; the scheme has {', '.join(codes)}")


def _conflict_waiver(
    state: State, scheme: Scheme, person: str, level: int, by: str, on: date, evidence: tuple[int, ...] = ()
) -> int:
    """Return the entry of the waiver that the decision needs, 0 when it needs none; raise InputError without it."""
    found = conflicts(state, by, person, on, scheme.conflict_months, evidence)
    if not found:
        return 0
    waiver = waiver_for(state, by, person, level, found, state.count + 1)
    if waiver is None:
        first = found[0]
        if first.observer:
            raise InputError(
                f"{first.observer}, who observed {person}, {first.did(person)} (entry {first.entry}); "
                "let another examiner observe, or enter a countersigned waiver"
            )
        raise InputError(
            f"{by} {first.did(person)} (entry {first.entry}) and may not decide; "
            f"name another decider, or enter a countersigned waiver"
        )
    return waiver.entry.number


def _grant(
    state: State, scheme: Scheme, digest: str, level: Level, person: str, by: str, because: str, begins: date
) -> Decision:
    before = [standing(state, grant, begins) for grant in grants_of(state, person) if grant.body.level == level.level]
    if before and before[-1].suspended is not None and before[-1].withdrawn is None:
        raise InputError(f"level {level.level} of {person} is suspended; restore or withdraw it first")
    found = assess(state, scheme, person, level.level, begins)
    waiver = _conflict_waiver(state, scheme, person, level.level, by, begins, found.evidence)
    if found.missing:
        more = f" (and {len(found.missing) - 1} more)" if len(found.missing) > 1 else ""
        raise InputError(f"{person} cannot be granted level {level.level}: {found.missing[0]}{more}")
    trainers, examiners = people_involved(state, person, found.evidence)
    return Decision(
        level=level.level, action="grant", because=because, decider=by, scheme=digest, certificate=f"c-{new_name(12)}",
        index=_free_place(state), activities=level.activities, until=last_day(begins, level.valid_months).isoformat(),
        surveillance_months=level.surveillance.every_months, grace_days=level.surveillance.grace_days,
        evidence=found.evidence, trainers=tuple(trainers), examiners=tuple(examiners), waiver=waiver,
    )  # fmt: skip


def _free_place(state: State) -> int:
    if len(state.indexes) >= PLACES - 1:
        raise InputError("the status lists are full")
    while True:
        place = 1 + secrets.randbelow(PLACES - 1)
        if place not in state.indexes:
            return place


def _about_grant(
    state: State, digest: str, level: int, person: str, action: Action, by: str, because: str, on: date
) -> Decision:
    grants = [grant for grant in grants_of(state, person) if grant.body.level == level]
    if not grants:
        raise InputError(f"{person} holds no certificate of level {level} to {action}")
    found = standing(state, grants[-1], on)
    if found.withdrawn is not None:
        raise InputError(f"the certificate was withdrawn already; level {level} can only be granted anew")
    # A restoration of a day to come ends this suspension; what came up since needs one of its own.
    if action == "suspend" and standing(state, grants[-1], date.max).suspended is not None:
        raise InputError("the certificate is suspended already")
    if action == "restore" and found.suspended is None:
        raise InputError("the certificate is not suspended")
    if action == "suspend" and found.until < on:
        raise InputError(f"the certificate expired on {found.until}; there is nothing to suspend")
    return Decision(
        level=level, action=action, because=because, decider=by, scheme=digest,
        certificate=grants[-1].body.certificate,
    )  # fmt: skip
