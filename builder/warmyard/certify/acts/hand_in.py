"""From a file that was handed in to an entry: marked once, remembered for ever, an irregularity named as such."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from warmyard.certify.exam.paper_key import read_key
from warmyard.certify.exam.sitting import (
    Already,
    Outcome,
    SittingRefusedError,
    irregularity_of,
    mark_sitting,
    outcome_record,
    read_sitting,
    sitting_body,
    verify_sitting,
)
from warmyard.certify.ledger.bodies import Paper, Sitting
from warmyard.certify.ledger.envelope import SigningKey, digest
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.sides import drop_side, write_side
from warmyard.certify.ledger.state import Fact, State
from warmyard.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """A sitting that stands in the ledger; `outcome` has the mark of every question when it was entered just now."""

    entry: int
    again: bool
    person: str
    body: Sitting
    outcome: Outcome | None


def hand_in(
    ledger: Ledger, state: State, data: bytes, code: str, *, now: datetime, signer: SigningKey, invigilator: str = ""
) -> Entered:
    """Return the sitting as entered, or the entry that holds these very bytes already.

    Raises VerificationError with the step that failed, after entering the irregularity where there is one
    (`verify_sitting` lists the steps); InputError for an invigilator who is not one.
    """
    if invigilator and not state.has_role(known_person(state, invigilator), "invigilator"):
        raise InputError(f"{invigilator} is not entered as an invigilator")
    try:
        found = verify_sitting(data, code, state)
        if isinstance(found, Already):
            fact = state.by_number[found.entry]
            return Entered(entry=found.entry, again=True, person=fact.entry.person, body=fact.body, outcome=None)
        sitting, paper = found
        if invigilator == paper.entry.person:
            raise InputError("nobody invigilates at their own sitting")
        outcome = mark_sitting(sitting, read_key(ledger.folder, sitting.paper, paper.body.frozen_key))
    except SittingRefusedError as refusal:
        number = _enter_irregularity(ledger, state, refusal, data, now, signer)
        if number:
            raise SittingRefusedError(refusal.step, f"{refusal.what} (irregularity, entry {number})") from None
        raise
    person = paper.entry.person
    side = write_side(ledger.folder, person, "sitting", outcome_record(data, outcome))
    body = sitting_body(sitting, paper, data, outcome, side, invigilator)
    try:
        entry = ledger.append("sitting", person, body, now.date(), now, signer)
    except Exception:  # an interruption removes nothing, see append_with_side
        drop_side(ledger.folder, person, side)
        raise
    return Entered(entry=entry.number, again=False, person=person, body=body, outcome=outcome)


def _enter_irregularity(
    ledger: Ledger, state: State, refusal: SittingRefusedError, data: bytes, now: datetime, signer: SigningKey
) -> int:
    """Return the number of the irregularity entry about these bytes, made now unless it is there; 0 if none is due."""
    paper: Fact[Paper] | None = state.papers.get(read_sitting(data).paper)
    if not refusal.irregularity or paper is None or state.people[paper.entry.person].erased:
        return 0
    known = state.records_seen.get(digest(data))
    if known:
        return known
    body = irregularity_of(refusal, data, paper)
    return ledger.append("irregularity", paper.entry.person, body, now.date(), now, signer).number
