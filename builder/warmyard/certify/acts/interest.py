"""Enters what an examiner or decider declares: with whom there is a conflict of interest, or with nobody."""

from __future__ import annotations

import msgspec

from warmyard.certify.acts.desk import Desk, Entered, LongText, append, read_day
from warmyard.certify.ledger.bodies import Interest
from warmyard.certify.ledger.ids import PersonId
from warmyard.certify.ledger.people import known_person
from warmyard.certify.rules.interest import declaration
from warmyard.errors import InputError
from warmyard.formats.entries import Day
from warmyard.words.sentence import sentence


class InterestFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A declaration of interests; without `about` there is none to declare. Leave names out of the text: ids do."""

    person: PersonId
    on: Day
    about: tuple[PersonId, ...] = ()
    text: LongText = ""
    """Why: family, line manager, friend, money."""


def enter_interest(desk: Desk, file: InterestFile) -> Entered:
    """Enter a declaration; it takes the place of the one before, unless that is of a later day."""
    state = desk.state
    person, day = known_person(state, file.person), read_day(file.on, desk.now)
    about = tuple(sorted({known_person(state, other) for other in file.about}))
    if person in about:
        raise InputError("nobody declares an interest in himself or herself; leave that id out of about")
    if about and not file.text.strip():
        raise InputError("write in text what the interest is: family, line manager, friend, money")
    before = declaration(state, person, desk.now.date())
    entry = append(
        desk, "interest", person, lambda digest: Interest(about=about, side=digest),
        on=day, side={"text": file.text} if file.text else None,
    )  # fmt: skip
    said = sentence("entered.interest_none", person=person, day=day)
    if about:
        said = sentence("entered.interest", person=person, day=day, about=", ".join(about))
    held = before.entry if before and before.entry.effective_on > day else None
    if held:
        said = sentence("entered.interest_newer", said=said, day=held.effective_on, entry=held.number)
    return Entered(entry, said)
