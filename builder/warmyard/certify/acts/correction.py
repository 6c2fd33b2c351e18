"""Corrections: an entry that counts no longer, a person who is forgotten."""

from __future__ import annotations

import msgspec

from warmyard.certify.acts.desk import Desk, Entered, append
from warmyard.certify.ledger.bodies import Erase, Void
from warmyard.certify.ledger.erasure import erase_files
from warmyard.certify.ledger.ids import PersonId
from warmyard.certify.ledger.people import known_person
from warmyard.errors import InputError
from warmyard.formats.entries import Code, Count
from warmyard.words.sentence import sentence


class VoidFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An entry that counts no longer."""

    entry: Count
    because: Code


class EraseFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A person to be forgotten."""

    person: PersonId
    because: Code


def enter_void(desk: Desk, file: VoidFile) -> Entered:
    """Make an entry count no longer."""
    if not 1 <= file.entry <= desk.state.count:
        raise InputError(f"there is no entry {file.entry}")
    entry = append(desk, "void", "", Void(entry=file.entry, because=file.because))
    return Entered(entry, sentence("entered.void", entry=file.entry))


def enter_erase(desk: Desk, file: EraseFile) -> Entered:
    """Forget a person: the entry first, then the files; an interruption is finished by the next entry."""
    person = known_person(desk.state, file.person)
    entry = append(desk, "erase", person, Erase(because=file.because))
    gone = erase_files(desk.records, desk.state, person)
    return Entered(entry, sentence("entered.erase", person=person, files=gone))
