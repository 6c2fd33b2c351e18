"""A person entered or changed: name, roles, photograph."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from warmyard.certify.acts.desk import Desk, Entered, append
from warmyard.certify.acts.photograph import photograph_of, read_photograph
from warmyard.certify.ledger.bodies import Person, Role
from warmyard.certify.ledger.folders import KEPT_FOR_KEYS
from warmyard.certify.ledger.ids import PersonId
from warmyard.certify.ledger.people import LONGEST_NAME, known_person, new_person_id
from warmyard.errors import InputError
from warmyard.words.sentence import sentence


class PersonFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A person: without an id a random one is drawn; with the id of somebody entered, name and roles change.

    Roles are all that the person has from now on; a photograph stays until there is another.
    """

    name: Annotated[str, Meta(min_length=1, max_length=LONGEST_NAME)]
    roles: tuple[Role, ...] = ()
    person: PersonId = ""
    photograph: str = ""
    """A JPEG or PNG file, named from where the command runs."""


def enter_person(desk: Desk, file: PersonFile) -> Entered:
    """Enter a person, or change the name and roles of one."""
    name = " ".join(file.name.split())
    if not name or any(not character.isprintable() for character in name):
        raise InputError("the name holds signs that cannot be printed, or nothing")
    person = file.person or new_person_id()
    if person in KEPT_FOR_KEYS:
        raise InputError(f"{person} is the name of a key of the office; give the person another id, or none")
    if person in desk.state.people:
        known_person(desk.state, person)
    known = photograph_of(desk.records, desk.state, person)
    photograph = read_photograph(Path(file.photograph)) if file.photograph else known
    content: dict[str, Any] = {"name": name, "photograph": photograph} if photograph else {"name": name}
    before = desk.state.people[person].roles if person in desk.state.people else file.roles
    entry = append(desk, "person", person, lambda digest: Person(roles=file.roles, side=digest), side=content)
    roles = ", ".join(file.roles) or sentence("entered.no_roles")
    if before == file.roles:
        return Entered(entry, sentence("entered.person", person=person, roles=roles))
    earlier = ", ".join(before) or sentence("entered.no_roles")
    return Entered(entry, sentence("entered.person_changed", person=person, roles=roles, before=earlier))
