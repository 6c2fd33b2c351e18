"""From a file that was handed in to an entry: marked once, remembered for ever, an irregularity named as such."""

from __future__ import annotations

from dataclasses import dataclass

from warmyard.certify.acts.desk import Desk, append
from warmyard.certify.exam.paper_key import read_key
from warmyard.certify.exam.sitting import (
    Already,
    SittingOutcome,
    SittingRefusedError,
    irregularity_of,
    mark_sitting,
    open_sitting,
    outcome_record,
    read_sitting,
    sitting_body,
)
from warmyard.certify.ledger.bodies import Paper, Sitting
from warmyard.certify.ledger.envelope import digest
from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.state import Fact
from warmyard.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """A sitting that stands in the ledger; `outcome` has the mark of every question when it was entered just now."""

    entry: int
    again: bool
    person: str
    body: Sitting
    outcome: SittingOutcome | None


def hand_in(desk: Desk, data: bytes, code: str, *, invigilator: str = "") -> Marked:
    """Return the sitting as entered, or the entry that holds these very bytes already.

    Raises VerificationError with the step that failed, after entering the irregularity where there is one
    (`open_sitting` lists the steps); InputError for an invigilator who is not one.
    """
    state = desk.state
    if invigilator and not state.has_role(known_person(state, invigilator), "invigilator"):
        raise InputError(f"{invigilator} is not entered as an invigilator")
    try:
        found = open_sitting(data, code, state)
        if isinstance(found, Already):
            fact = state.by_number[found.entry]
            return Marked(entry=found.entry, again=True, person=fact.entry.person, body=fact.body, outcome=None)
        sitting, paper = found
        if invigilator == paper.entry.person:
            raise InputError("nobody invigilates at their own sitting")
        outcome = mark_sitting(sitting, read_key(desk.records, sitting.paper, paper.body.frozen_key))
    except SittingRefusedError as refusal:
        number = _enter_irregularity(desk, refusal, data)
        if number:
            raise SittingRefusedError(refusal.step, f"{refusal.what} (irregularity, entry {number})") from None
        raise
    person = paper.entry.person

    def body(digest: str) -> Sitting:
        return sitting_body(sitting, paper, data, outcome, digest, invigilator)

    entry = append(desk, "sitting", person, body, side=outcome_record(data, outcome))
    made = desk.state.by_number[entry.number].body
    return Marked(entry=entry.number, again=False, person=person, body=made, outcome=outcome)


def _enter_irregularity(desk: Desk, refusal: SittingRefusedError, data: bytes) -> int:
    """Return the number of the irregularity entry about these bytes, made now unless it is there; 0 if none is due."""
    state = desk.state
    paper: Fact[Paper] | None = state.papers.get(read_sitting(data).paper)
    if not refusal.irregularity or paper is None or state.people[paper.entry.person].erased:
        return 0
    known = state.records_seen.get(digest(data))
    if known:
        return known
    return append(desk, "irregularity", paper.entry.person, irregularity_of(refusal, data, paper)).number
