"""An appeal against a decision, or how it ended."""

from __future__ import annotations

from typing import Literal

import msgspec

from warmyard.certify.acts.desk import Desk, Entered, LongText, append, read_day
from warmyard.certify.ledger.bodies import Appeal
from warmyard.certify.ledger.ids import PersonId
from warmyard.certify.ledger.people import known_person
from warmyard.certify.rules.appeal import decision_of, verify_lodging, verify_outcome
from warmyard.formats.entries import Count, Day
from warmyard.words.sentence import sentence


class AppealFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An appeal against a decision, or its outcome."""

    person: PersonId
    decision: Count
    """Number of the decision's entry."""
    stage: Literal["lodged", "upheld", "dismissed"]
    on: Day
    text: LongText
    by: tuple[PersonId, ...] = ()


def enter_appeal(desk: Desk, file: AppealFile) -> Entered:
    """Enter an appeal, or how it ended."""
    person, day = known_person(desk.state, file.person), read_day(file.on, desk.now)
    decision = decision_of(desk.state, person, file.decision)
    if file.stage == "lodged":
        verify_lodging(desk.state, decision, day)
    else:
        verify_outcome(desk.state, decision, file.by, day)
    entry = append(
        desk, "appeal", person,
        lambda digest: Appeal(decision=file.decision, stage=file.stage, by=file.by, side=digest),
        on=day, side={"text": file.text},
    )  # fmt: skip
    return Entered(entry, sentence("entered.appeal", person=person, decision=file.decision, stage=file.stage))
