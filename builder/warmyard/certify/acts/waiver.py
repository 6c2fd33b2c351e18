"""A waiver: conflicts of interest that two people accept."""

from __future__ import annotations

import msgspec

from warmyard.certify.acts.desk import Desk, Entered, LongText, append
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import ConflictKind, Countersign, Waiver
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.ids import PersonId
from warmyard.certify.ledger.kinds.waiver import countersigned_bytes
from warmyard.certify.ledger.people import known_person
from warmyard.errors import InputError
from warmyard.formats.entries import LevelNumber
from warmyard.words.sentence import sentence


class WaiverFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Conflicts of interest that two people accept."""

    person: PersonId
    level: LevelNumber
    decider: PersonId
    conflicts: tuple[ConflictKind, ...] = ()
    """Of the decider."""
    observers: tuple[PersonId, ...] = ()
    """Observers who declared an interest in the candidate."""
    because: LongText
    second: PersonId
    """Who countersigns, with a key of their own."""


def enter_waiver(desk: Desk, file: WaiverFile, second: SigningKey) -> Entered:
    """Enter a waiver, countersigned by another person."""
    state = desk.state
    person, decider, other = (known_person(state, named) for named in (file.person, file.decider, file.second))
    observers = tuple(sorted({known_person(state, named) for named in file.observers}))
    if not (file.conflicts or observers):
        raise InputError("write what is waived: conflicts of the decider, observers who declared an interest, or both")
    if not state.has_role(decider, "decider"):
        raise InputError(f"{decider} is not a decider")
    may = state.has_role(other, "custodian") or state.has_role(other, "decider")
    if other in (person, decider, *observers) or not may:
        raise InputError("a waiver is countersigned by a custodian or another decider, never by those it is about")
    key = state.key_at(second.id)
    if key is None or key.owner != other:
        raise InputError(f"the second key is not one of {other}'s that holds")

    def body(digest: str) -> Waiver:
        blank = Waiver(
            waiver=f"w-{envelope.new_name(10)}", level=file.level, decider=decider,
            conflicts=tuple(sorted(set(file.conflicts))), observers=observers, side=digest,
            countersign=Countersign(person=other, key=second.id, signature=""),
        )  # fmt: skip
        signed = envelope.sign(second, countersigned_bytes(person, msgspec.to_builtins(blank)))
        countersign = Countersign(person=other, key=second.id, signature=envelope.encode_base64url(signed))
        return msgspec.structs.replace(blank, countersign=countersign)

    entry = append(desk, "waiver", person, body, side={"because": file.because})
    return Entered(entry, sentence("entered.waiver", decider=decider, person=person, other=other))
