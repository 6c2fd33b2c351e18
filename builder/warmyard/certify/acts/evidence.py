"""Evidence for a prerequisite, or a surveillance that was passed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Annotated

import msgspec
from msgspec import Meta

from warmyard.certify.acts.desk import Desk, Entered, LongText, append, read_day
from warmyard.certify.ledger.bodies import Evidence
from warmyard.certify.ledger.ids import PersonId
from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.schemes import adopted_scheme, level_of
from warmyard.certify.ledger.side_files import read_side
from warmyard.course.scheme_shape import SURVEILLANCE
from warmyard.errors import InputError
from warmyard.formats.entries import Code, Day, LevelNumber
from warmyard.words.sentence import sentence


class EvidenceFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Evidence for a prerequisite, or a surveillance that was passed."""

    person: PersonId
    what: Code
    level: LevelNumber
    on: Day
    by: PersonId
    count: Annotated[int, Meta(ge=1, le=1_000_000)] = 1
    trained_by: tuple[PersonId, ...] = ()
    text: LongText = ""


def enter_evidence_list(desk: Desk, files: Sequence[EvidenceFile]) -> list[Entered]:
    """Enter several pieces of evidence; all are looked at before the first is entered."""
    seen: set[EvidenceFile] = set()
    for file in files:
        _read(desk, file)
        if file in seen:
            raise InputError(f"{file.what} of {file.person} on {file.on} stands twice in the file; nothing was entered")
        seen.add(file)
    return [enter_evidence(desk, file) for file in files]


def _read(desk: Desk, file: EvidenceFile) -> tuple[str, date]:
    """Return person and day of a piece of evidence; raise InputError when it is none that the scheme asks for."""
    _, scheme = adopted_scheme(desk.state)
    level = level_of(scheme, file.level)
    offered = [*(wanted.id for wanted in level.prerequisites), SURVEILLANCE]
    if file.what not in offered:
        raise InputError(f"level {level.level} asks for no {file.what!r}; it asks for {', '.join(offered)}")
    person = known_person(desk.state, file.person)
    for named in (file.by, *file.trained_by):
        if known_person(desk.state, named) == person:
            raise InputError("nobody vouches for himself or herself, or trains himself or herself")
    known = _same_evidence(desk, person, file)
    if known:
        raise InputError(
            f"{file.what} of {person} on {file.on} is entered already, as entry {known}; take it out of the file, or "
            "when it is another, say in text what tells it apart"
        )
    return person, read_day(file.on, desk.now)


def _same_evidence(desk: Desk, person: str, file: EvidenceFile) -> int:
    """Return the entry of the very same evidence: a log that is entered twice would count twice."""
    for fact in desk.state.of(person, Evidence):
        body = fact.body
        said = (body.what, body.level, body.count, body.by, body.trained_by, fact.entry.effective_on.isoformat())
        if said == (file.what, file.level, file.count, file.by, file.trained_by, file.on):
            text = read_side(desk.records, person, body.side).get("text", "") if body.side else ""
            if text == file.text:
                return fact.entry.number
    return 0


def enter_evidence(desk: Desk, file: EvidenceFile) -> Entered:
    """Enter evidence for a prerequisite of the adopted scheme, or a surveillance."""
    person, day = _read(desk, file)

    def body(digest: str) -> Evidence:
        return Evidence(
            what=file.what, level=file.level, count=file.count, by=file.by, trained_by=file.trained_by, side=digest
        )

    entry = append(desk, "evidence", person, body, on=day, side={"text": file.text} if file.text else None)
    return Entered(entry, sentence("entered.evidence", what=file.what, person=person))
